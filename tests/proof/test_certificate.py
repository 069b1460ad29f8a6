"""Certificates: what is sealed can be proved again, and nothing that comes from outside is believed."""

from __future__ import annotations

import contextlib
import json
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.model.codec import dumps, loads
from pathkit.proof.certificate import certify, machine_as_dict, read_certificate
from pathkit.registry import capabilities_of as takes

if TYPE_CHECKING:
    from tests.proof.conftest import Case


def certified(case: Case) -> dict[str, Any]:
    twin = pk.air_cut(case.posted, case.machine)
    proofs = case.verify(), pk.verify_twin(twin, case.posted, case.machine)
    return certify(*proofs, case.posted, twin, case.machine, takes(case.machine), case.job, job_file="plates.job.json")


@pytest.fixture(scope="module")
def certificates(cases: dict[str, Case]) -> dict[str, str]:
    """The certificate for each machine, as text."""
    return {name: json.dumps(certified(case)) for name, case in cases.items()}


@pytest.fixture
def certificate(case: Case, certificates: dict[str, str]) -> dict[str, Any]:
    """A copy of the certificate for the machine, to be tampered with."""
    copy: dict[str, Any] = json.loads(certificates[case.machine.name])
    return copy


def test_it_proves_again(case: Case, certificate: dict[str, Any]) -> None:
    """As somebody else does it: from the certificate, the job's text and the file's bytes."""
    read = read_certificate(json.dumps(certificate))
    text, job_text = case.posted.files[0].data, dumps(case.job).encode()
    assert read.ok
    assert read.file.holds(text)
    assert read.job is not None
    assert read.job.holds(job_text)
    assert read.twin is not None
    assert read.twin.holds(pk.air_cut(case.posted, case.machine).files[0].data)
    assert (read.machine, read.setup) == (case.machine, case.posted.setup)
    job = loads(job_text)
    assert pk.verify(text, pk.lower(job, read.machine, read.setup), read.machine, job=job, setup=read.setup).ok
    assert not read.file.holds(text.replace(b"X", b"Y", 1))


def test_it_is_deterministic_and_holds_no_time_of_day(case: Case, certificate: dict[str, Any]) -> None:
    assert json.dumps(certified(case)) == json.dumps(certificate)
    assert not re.search(r"\b20\d\d-\d\d|\d\d:\d\d", json.dumps(certificate))
    assert certificate["ok"] is True
    assert {"same path", "tabs", "travel limits"} <= {check["name"] for check in certificate["checks"]}
    assert certificate["not_proved"]


def test_a_failed_proof_is_not_certified_as_ok(case: Case) -> None:
    bad = case.verify(case.text.replace("M3", "M4"))
    values = certify(bad, None, case.posted, None, case.machine, takes(case.machine), case.job)
    assert values["ok"] is False
    assert values["twin"] is None
    assert read_certificate(json.dumps(values)).job is None


@pytest.mark.parametrize(
    "change",
    [
        {"bytes_per_second": 11520.0},
        {"park": (1.0, 2.5)},
        {"output": {"units": "inch", "suffix": ".tap"}},
        {"homed": True, "travel": pk.Travel(600.0, 400.0, 80.0, (-600.0, -400.0, -80.0))},
        {"name": 'a "quoted" näme\\ \n'},
    ],
)
def test_every_profile_comes_back_the_same(cases: dict[str, Case], change: dict[str, Any]) -> None:
    case = cases["grbl-front-left"]
    machine = replace(case.machine, **change)
    values = certify(
        case.verify(),
        None,
        case.posted,
        None,
        machine,
        takes(machine),
        case.job,
        pk.Setup(1, (1.0, 2.0, 3.0), "G55"),
    )
    read = read_certificate(json.dumps(values))
    assert read.machine == machine
    assert read.setup == pk.Setup(1, (1.0, 2.0, 3.0), "G55")
    assert machine_as_dict(read.machine) == machine_as_dict(machine)


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (("pathkit",), "job", "not a certificate"),
        (("version",), 2, "version 2"),
        (("version",), True, "version True"),
        (("ok",), "yes", "ok"),
        (("file", "name"), "../../etc/passwd", "file.name"),
        (("file", "name"), "a/b.nc", "file.name"),
        (("file", "name"), "", "file.name"),
        (("job", "name"), "C:\\job", "job.name"),
        (("file", "sha256"), "0", "sha256"),
        (("setup", "turn"), 4, "turn"),
        (("setup", "zero_at"), [1.0], "zero_at"),
        (("setup", "offset"), "G53", "offset"),
        (("machine", "name"), "another", "sealed"),
        (("machine", "travel", "x"), -1.0, "travel.x"),
        (("machine", "colour"), "red", "unknown key"),
        (("machine", "left_handed"), "no", "left_handed"),
    ],
)
def test_what_has_been_tampered_with_is_refused(
    certificate: dict[str, Any], path: tuple[str, ...], value: object, message: str
) -> None:
    inner = certificate
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    with pytest.raises(InputError, match=re.escape(message)) as caught:
        read_certificate(json.dumps(certificate), "plates.nc.proof.json")
    assert all(finding.file == "plates.nc.proof.json" for finding in caught.value.findings)


@pytest.mark.parametrize(
    "text", ["", "[]", "null", "{", '{"pathkit": NaN}', "[" * 100_000, '{"pathkit": "certificate"}']
)
def test_what_is_no_certificate(text: str) -> None:
    with pytest.raises(InputError):
        read_certificate(text)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@given(st.sampled_from(["file", "twin", "job", "machine", "setup", "ok", "machine_sha256"]), JSON)
def test_any_value_in_any_place_is_read_or_refused(cases: dict[str, Case], key: str, value: object) -> None:
    case = cases["grbl-front-left"]
    values = certify(_proof(case), None, case.posted, None, case.machine, takes(case.machine), case.job)
    # Any error other than an `InputError` fails the test.
    with contextlib.suppress(InputError):
        read_certificate(json.dumps({**values, key: value}))


def _proof(case: Case) -> pk.Proof:
    from pathkit.proof.verify import verify

    return verify(case.posted, case.program, case.machine, case.capabilities, checks=())
