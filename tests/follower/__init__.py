"""An independent follower: it reads the papers a job comes out as, does what they say, and looks at what it gets.

It shares no code with `pipemodel`, not one formula: a test holds that no module here imports it. Its oracle is the job
file itself, its corner points above all. Modules, in the order a piece goes through them:

    jobs       random jobs as YAML, made from legs, angles and twists by the follower's own rotations
    shape      a piece as straights and bends in space; two pieces compared up to a rigid motion, mirrored ones named
    bench      a straight tube under hand: marked, held by an end, rolled, pulled round a former, let go
    figures    lengths, angles, rolls and ends as people read them, in mm and in inches
    steps      one pull as a paper tells it, and a list of them done on a bench
    cards      the sentences of a pull's card, as steps and as measures to take on the piece
    sheets     readers: text, CSV, workbook, Markdown
    html       reader of the page
    pack       reader of the PDF pack
    tape       reader of the tape line
    svg        reader of drawings in SVG
    pulls      the pull drawings, laid over the tube at the bench
    views      the general drawings, laid over the tube that the corners mean
    full_size  the pack's full-size pages, laid together by their crosses
    templates  templates laid on the piece, angle cards in its bends, wraps round the tube
    stock      the cut list: what is cut from which length
    clips      the clip list: where clips stand

To add a paper, write a reader that gives `steps.Step`s (or figures of `cards`), and let `steps.follow` bend them.

What is meant by the words on the papers is settled here once, from docs/conventions.md and docs/bending.md:
clockwise is as seen from the tube's start end looking along the tube; end for end is about an upright axis, the same
side staying up; the fitter looks down on the bender with the held end to the left and pulls the free end towards
the body. Coordinates at the bench: x from left to right, y away from the body, z up.
"""
