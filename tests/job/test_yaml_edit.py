"""Values put into a user's YAML file: only those change, and comments, order and layout stay byte for byte."""

import random

import pytest
import yaml

from pipemodel.job.yaml_edit import LayoutError, with_values

NEW = {"outside": 15, "radius": 54.43, "springback": {"fixed": 0.842, "per_degree": 0.05472}}

FILE = """\
# Formers of the van. Do not lend.
old one:   {radius: 77,  hold: 44}   # bought second-hand

mine:                       # the 15
  hold: 61                  # to the stop's pin
  radius:   50.0            # as the maker says
  springback:
    fixed: 1                # guessed

    # nothing known of the rest
  guide: 44

# other sizes
other: {outside: 22, radius: 77}
# the end
"""


def test_only_the_values_change():
    changed = with_values(FILE, "mine", NEW)
    assert changed == FILE.replace("50.0 ", "54.43 ").replace("fixed: 1 ", "fixed: 0.842 ").replace(
        "# guessed\n", "# guessed\n    per_degree: 0.05472\n"
    ).replace("  guide: 44\n", "  guide: 44\n  outside: 15\n")


def test_a_new_former_goes_to_the_end():
    changed = with_values(FILE, "new: one", NEW)
    assert changed.startswith(FILE)
    assert changed[len(FILE) :].splitlines() == [
        "'new: one':",
        "  outside: 15",
        "  radius: 54.43",
        "  springback: {fixed: 0.842, per_degree: 0.05472}",
    ]
    assert with_values("", "a", {"radius": 5}) == "a:\n  radius: 5\n"
    assert with_values("# mine\n", "a", {"radius": 5}) == "# mine\na:\n  radius: 5\n"


def test_a_group_on_one_line_stays_on_one_line():
    changed = with_values(FILE, "old one", {"hold": 45, "guide": 9.5})
    assert changed == FILE.replace("{radius: 77,  hold: 44}", "{radius: 77,  hold: 45, guide: 9.5}")


def test_line_ends_and_a_missing_last_one_stay():
    dos = FILE.replace("\n", "\r\n")
    changed = with_values(dos, "mine", NEW)
    assert changed.replace("\r\n", "\n") == with_values(FILE, "mine", NEW)
    assert changed.count("\n") == changed.count("\r\n")
    assert with_values("a: {radius: 5}", "b", {"radius": 6}) == "a: {radius: 5}\nb:\n  radius: 6\n"
    assert with_values("a:\n  radius: 5", "a", {"hold": 6}) == "a:\n  radius: 5\n  hold: 6"


def test_what_is_already_so_is_not_touched():
    text = "a: {radius: 5.00, hold: 10.00}\n"
    assert with_values(text, "a", {"radius": 5, "hold": 10.0}) == text


@pytest.mark.parametrize(
    "text",
    [
        "a: {springback: &s {fixed: 1}, radius: 5}\nb: {springback: *s, radius: 6}\n",
        "base: &base {radius: 5}\na: *base\n",
    ],
)
def test_shared_values_are_refused_and_the_lines_are_said(text):
    with pytest.raises(LayoutError, match=r"a:\n  radius: 7\n  springback: \{fixed: 2\}"):
        with_values(text, "a", {"radius": 7, "springback": {"fixed": 2}})


@pytest.mark.slow
def test_random_files_keep_every_line_that_says_something_else():
    """Random layouts: the values read back are the ones wanted, and every comment stands as it stood."""
    rng, done, kept = random.Random(7), 0, 0
    for trial in range(300):
        names = rng.sample(["mine", "15", "old one", "x: y", "\u00fcber"], rng.randint(1, 4))
        values, lines, comments = {}, [], []

        def comment(some=0.4, comments=comments):
            if rng.random() > some:
                return ""
            comments.append(f"# note {len(comments)}")
            return " " * rng.randint(1, 3) + comments[-1]

        for name in names:
            entry = {k: rng.choice([1, 2.5, 60]) for k in rng.sample(["radius", "hold", "guide", "mark"], 3)}
            if rng.random() < 0.6:
                entry["springback"] = {"fixed": 1.5}
            values[name] = entry
            key = f'"{name}"'
            if rng.random() < 0.4:
                inner = f",{' ' * rng.randint(1, 3)}".join(f"{k}: {v}" for k, v in entry.items()).replace("'", "")
                lines.append(f"{key}: {{{inner}}}{comment()}")
            else:
                lines.append(f"{key}:{comment()}")
                indent = " " * rng.randint(1, 4)
                for k, v in entry.items():
                    if isinstance(v, dict) and rng.random() < 0.5:
                        lines.append(f"{indent}{k}:{comment()}")
                        lines += [f"{indent}   {a}: {b}{comment()}" for a, b in v.items()]
                    else:
                        lines.append(f"{indent}{k}:{' ' * rng.randint(1, 3)}{str(v).replace(chr(39), '')}{comment()}")
            lines += rng.choice([[], [""], [comment(1.0).strip()]])
        text = "\n".join(lines) + rng.choice(["", "\n", "\n\n"])
        assert yaml.safe_load(text) == values, trial
        name = rng.choice([*names, "fresh"])
        wanted = {"radius": 54.43, "outside": 15, "springback": {"fixed": 0.842, "per_degree": 0.05}}
        changed = with_values(text, name, wanted)
        merged = {**values, name: {**values.get(name, {}), **wanted}}
        assert yaml.safe_load(changed) == merged, trial
        assert changed.count("#") == text.count("#")
        for note in comments:
            assert changed.count(note) == text.count(note)
            kept += text.count(note)
        if name == "fresh":
            assert changed.startswith(text)
        done += 1
    assert done == 300
    assert kept > 300
