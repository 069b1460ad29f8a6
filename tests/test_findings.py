"""One line for a cause, however many toolpaths it holds for."""

from __future__ import annotations

from pathkit.findings import Finding, grouped


def fine(name: str, width: float, **more: object) -> Finding:
    what = f"the bit '1 mm' of 1 mm does not fit into the shape anywhere; it is path '{name}' about ({width}, 3.5)"
    return Finding(check="operation", what=what, fix=f"tool: at most {width:g} mm", toolpath=name, **more)  # type: ignore[arg-type]


def test_the_same_cause_is_one_group_in_the_order_in_which_it_came() -> None:
    other = Finding(check="operation", what="two holes are at (3, 4)", toolpath="a 1")
    found = [fine("a 1", 0.5), other, fine("a 2", 0.5), fine("a 3", 0.75)]
    assert grouped(found) == [(found[0], (found[2], found[3])), (other, ())]


def test_the_advice_that_is_told_helps_all() -> None:
    found = [fine("a 1", 0.5), fine("a 2", 0.25), fine("a 3", 0.75)]
    assert grouped(found) == [(found[1], (found[0], found[2]))]
    webs = [Finding(check="webs", what="thin", fix=f"at least {by} mm", toolpath=f"a {by}") for by in (1.5, 2.5, 0.5)]
    assert grouped(webs)[0][0] == webs[1]


def test_what_differs_in_words_severity_or_check_is_told_apart() -> None:
    one = fine("a", 0.5)
    others = [fine("b", 0.5, severity="note"), fine("b", 0.5, code="error:25")]
    others += [Finding(check="webs", what=one.what, fix=one.fix, toolpath="b")]
    assert len(grouped([one, *others])) == 4


def test_lines_of_a_job_file_are_mended_one_by_one() -> None:
    found = [
        Finding(
            check="job file", what=f"unknown key {key!r}", fix="remove it", file="job.toml", line=k, path=f"$.{key}"
        )
        for k, key in enumerate(("colour", "shade"), 1)
    ]
    assert len(grouped(found)) == 2
    # What is found in every copy of a part is one thing to mend.
    copies = [
        Finding(
            check="finished shape", what=f"'in' of the part 'tag {k}' keeps slivers: {listed}", file="job.toml", line=7
        )
        for k, listed in (("01", "1.5 mm² at (3.0, 4.0)"), ("02", "1.5 mm² at (9.0, 4.0), 0.2 mm² at (1.5, 2.5)"))
    ]
    assert len(grouped(copies)) == 1
