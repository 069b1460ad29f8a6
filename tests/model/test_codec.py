"""A job survives the round trip through JSON; a wrong file is refused with every fault and its path."""

from __future__ import annotations

import contextlib
import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

import pathkit as pk
from pathkit.model.codec import decoded, dumps, job_in, loads

BIT = pk.Tool("6 mm upcut", 6.0, number=3, kind="compression", tip_length=4.0, cut_length=22.0, reach=30.0, holder=20.0)
DRILL = pk.Tool("3 mm drill", 3.0, kind="drill")
CUTTING = pk.Cutting(feed=1500.0, plunge=300.0, spindle=18000.0, ramp=700.0)


def full_job() -> pk.Job:
    """A job with one of everything that a job can hold."""
    ring = pk.Curve([[20.0, 20.0], [60.0, 20.0], [60.1, 50.7], [20.0, 50.0]], closed=True, sweeps=[0.0, 0.3, 0.0, -0.2])
    stock = pk.Stock(
        120.0, 80.0, 9.0, z_zero="bed", underlay=1.5, grain=90.0, thickness_tolerance=0.3,
        zones=(pk.Zone(box(0, 0, 10, 10), "tape"), pk.Zone(Polygon([(100, 0), (120, 0), (110, 9)]), "screw", 2.0)),
    )  # fmt: skip
    toolpaths = (
        pk.Toolpath("outline", ring, BIT, CUTTING, bottom=1.3, stepdown=2.0, part="plate", role="outline",
                    entry=pk.Spiral(3.0), tabs=(pk.Tab(10.0, 6.0, 3.0), pk.Tab(60.0, 6.0, 3.0)), start=4.25),
        pk.Toolpath("slot", pk.Curve.polyline([[30, 30], [50, 30]]), BIT, CUTTING, top=10.0, bottom=5.0,
                    levels=(8.0, 5.0), role="slot", entry=pk.Ramp(2.5), backward=True),
        pk.Toolpath("trace", pk.Curve.polyline([[1, 1, 12], [5, 5, 9], [9, 1, 12]]), BIT, CUTTING, reversible=True),
        pk.Toolpath("hole", pk.Curve.point([70, 30]), DRILL, CUTTING, bottom=1.2, role="drill", entry=pk.Peck(2.0)),
        pk.Toolpath("bore", pk.Curve.point([90, 30]), BIT, CUTTING, bottom=1.2, role="drill", free_start=False,
                    entry=pk.Helix(3.0, 4.0)),
    )  # fmt: skip
    feature = pk.Feature(ring, 5.0, (pk.Curve.circle((40, 30), 2.0),))
    part = pk.Part("plate", ring, (feature,), (pk.Feature(pk.Curve.circle((70, 30), 1.5)),))
    return pk.Job("full", stock, toolpaths, (("slot", "outline"), ("hole", "outline")), (part,))


def test_round_trip_keeps_everything() -> None:
    job = full_job()
    again = loads(dumps(job))
    assert again == job
    assert dumps(again) == dumps(job)


def test_reading_a_job_leaves_its_data_as_they_are() -> None:
    """The audit judges the same data afterwards: it must see what stands in the file, not what reading made of it."""
    text = dumps(full_job())
    data = decoded(text)
    assert job_in(data) == full_job()
    assert json.dumps(data) == json.dumps(json.loads(text))


def test_a_number_keeps_its_last_bit() -> None:
    curve = pk.Curve.polyline([[0.1 + 0.2, math.nextafter(1.0, 2.0)], [5e-324, 1e5]])
    job = pk.Job("bits", pk.Stock(1, 1, 1), (pk.Toolpath("a", curve, BIT, CUTTING, bottom=-0.3),))
    assert np_equal(loads(dumps(job)).toolpaths[0].curve.points, curve.points)


def np_equal(first: object, second: object) -> bool:
    import numpy

    return numpy.asarray(first).tobytes() == numpy.asarray(second).tobytes()


def test_every_fault_is_named_at_once_with_its_path() -> None:
    data = json.loads(dumps(full_job()))
    data["toolpaths"][0]["cutting"]["feed"] = -1
    data["toolpaths"][1]["bottom"] = 99.0
    data["toolpaths"][2]["tool"] = "nobody"
    data["toolpaths"][3]["surprise"] = 1
    data["toolpaths"][4]["entry"] = {"kind": "dive"}
    data["stock"]["zones"][1]["kind"] = "glue"
    del data["toolpaths"][0]["name"]
    with pytest.raises(pk.InputError) as caught:
        loads(json.dumps(data), "job.json")
    paths = {f.path for f in caught.value.findings}
    assert paths >= {
        "$.toolpaths[0].cutting.feed",
        "$.toolpaths[0].name",
        "$.toolpaths[2].tool",
        "$.toolpaths[3].surprise",
        "$.toolpaths[4].entry.kind",
        "$.stock.zones[1].kind",
    }
    assert any(path is not None and path.startswith("$.toolpaths[1]") for path in paths)
    assert all(f.file == "job.json" for f in caught.value.findings)


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("", "not JSON"),
        ("[1, 2", "not JSON"),
        ("[]", "not a pathkit job"),
        ('{"pathkit": "job"}', "version None"),
        ('{"pathkit": "job", "version": 2}', "version 2"),
        ('{"pathkit": "job", "version": 1, "name": "x"}', "stock is missing"),
        ('{"pathkit": "job", "version": 1, "name": NaN}', "NaN"),
        ("[" * 100_000, "not JSON"),
        (b"\xff\xfe\x00", "not JSON"),
    ],
)
def test_what_is_no_job_is_refused(text: str | bytes, say: str) -> None:
    with pytest.raises(pk.InputError, match=say):
        loads(text)


def test_a_faulty_bit_is_named_once_and_not_at_each_toolpath() -> None:
    data = json.loads(dumps(full_job()))
    data["tools"]["6 mm upcut"]["diameter"] = 0
    with pytest.raises(pk.InputError) as caught:
        loads(json.dumps(data))
    assert [f.path for f in caught.value.findings] == ["$.tools.6 mm upcut.diameter"]


def test_a_whole_number_stays_one_so_that_the_text_is_the_same() -> None:
    job = pk.Job("whole", pk.Stock(9, 9, 3), (pk.Toolpath("a", pk.Curve.point([1, 2]), BIT, CUTTING, bottom=-1),))
    assert '"width": 9,' in dumps(job)
    assert dumps(loads(dumps(job))) == dumps(job)


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=4) | st.just(10**400),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["kind", "points", "name"]), inner, max_size=3)
    ),
    max_leaves=6,
)


@given(st.data(), JUNK)
def test_junk_anywhere_is_a_finding_and_never_a_crash(data: st.DataObject, junk: object) -> None:
    whole = json.loads(dumps(full_job()))
    inner: object = whole
    for _ in range(data.draw(st.integers(0, 5))):
        keys = list(inner) if isinstance(inner, dict) else list(range(len(inner))) if isinstance(inner, list) else []
        if not keys:
            break
        key = data.draw(st.sampled_from(keys))
        if data.draw(st.booleans()):
            inner[key] = junk  # type: ignore[index]
            break
        inner = inner[key]  # type: ignore[index]
    # Any other error than an `InputError` fails the test.
    with contextlib.suppress(pk.InputError):
        loads(json.dumps(whole).replace("Infinity", "1e999"))
