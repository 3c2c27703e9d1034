"""A job with an opening and a way in that was laid by hand, as a search might have found it."""

from dataclasses import replace

import numpy as np
from scipy.spatial.transform import Rotation

from pipemodel import story
from pipemodel.job.model import Opening
from pipemodel.job.read import job_of_text
from pipemodel.messages.values import Length, Name, message
from pipemodel.results.paper_options import PaperOptions
from pipemodel.ways_in.springs import sprung_line
from pipemodel.ways_in.values import IN_PLACE, Pose, Sprung, SprungEnd, WayIn

BOXING = """
job: behind the hatch
tube: 15
former: {radius: 55}
room:
  back wall: {box: {from: [-100, 405, -50], to: [1000, 425, 700]}}
  front left: {box: {from: [-100, 0, -50], to: [200, 18, 700]}}
  front right: {box: {from: [700, 0, -50], to: [1000, 18, 700]}}
  front below: {box: {from: [200, 0, -50], to: [700, 18, 0]}}
  front above: {box: {from: [200, 0, 400], to: [700, 18, 700]}}
  waste: {cylinder: {from: [-100, 300, 300], to: [500, 300, 300], diameter: 50}}
runs:
  return: {points: [[0, 390, 100], [600, 390, 100], [600, 390, 500], [850, 390, 500]]}
"""
HATCH = Opening(
    "hatch", ((200.0, 0.0, 0.0), (700.0, 0.0, 0.0), (700.0, 0.0, 400.0), (200.0, 0.0, 400.0)), (400.0, -500.0, 200.0)
)


def rotation(pose):
    """Return the turn of a pose as scipy has it."""
    w, x, y, z = pose.rotation
    return Rotation.from_quat([x, y, z, w])


def pose_of(turn, position):
    x, y, z, w = turn.as_quat().tolist()
    return Pose(tuple(np.asarray(position, float).tolist()), (w, x, y, z))


def turned_at(pose, axis, deg, fixed):
    """Return the pose after a turn in the room about an axis through where a point of the piece is."""
    turn = Rotation.from_rotvec(np.radians(deg) * np.array(axis)) * rotation(pose)
    here = rotation(pose).apply(fixed) + pose.position
    return pose_of(turn, here - turn.apply(fixed))


def slid(pose, by):
    return Pose(tuple((np.array(pose.position) + by).tolist()), pose.rotation)


def stood(pose, points):
    """Return where points of the piece stand in a pose."""
    return rotation(pose).apply(points) + pose.position


def laid_way():
    """Return states from outside to the place: slides, a turn about the finish, a roll about the first leg."""
    states = [IN_PLACE, slid(IN_PLACE, (0.0, -200.0, 0.0))]
    for _ in range(6):
        states.append(turned_at(states[-1], (1.0, 0.0, 0.0), 15.0, (0.0, 390.0, 100.0)))
    states.append(slid(states[-1], (300.0, 0.0, 100.0)))
    for _ in range(5):
        states.append(turned_at(states[-1], (0.0, 0.0, 1.0), -12.0, (850.0, 390.0, 500.0)))
    states.append(slid(states[-1], (0.0, -900.0, 0.0)))
    return tuple(reversed(states))


THERE, LATER = (
    "  flow: {points: [[0, 350, 60], [650, 350, 60]]}\n",
    "  drain: {points: [[0, 350, 30], [650, 350, 30]]}\n",
)
"""A run that is in already, and one that is not."""


def results_with_way(language="en", found=True, past=(), sprung=None):
    """Return the results of the job, its check having found that way, or none; with runs `past` which it is brought.

    Held `sprung` by so many mm at its finish up to state 7.
    """
    text = BOXING + (THERE + LATER if past else "")
    job = replace(job_of_text(text, "job.yaml"), openings=(HATCH,))
    results = story.results(job, paper_options=PaperOptions(language=language))
    way = WayIn("return", True, False, None, 2.0, 18.4, laid_way(), "hatch", 1234, past=past)
    if not found:
        why = message("way in.no: too small", opening=Name("hatch", quoted=False), need=Length(19.0), has=Length(18.0))
        way = replace(way, found=False, states=(), impossible=True, least_mm=None, why_not=why)
    if sprung:
        line = sprung_line(results.schedule.runs[0].centreline, "finish", sprung)
        way = replace(way, sprung=Sprung((SprungEnd("finish", sprung, 2, 11.6),), 7, line, 0.0005))
    results.__dict__["report"] = replace(results.report, ways_in=(way,))
    return results
