"""From a program to files: orientation, rounding and writing together, against numbers worked out by hand."""

from __future__ import annotations

import math
import subprocess
import sys
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts import pathkit_dialects, pathkit_machines

from pathkit.errors import CapabilityError, InputError, ProfileError
from pathkit.machine.profile import Axes, Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import ARC, LINE, RAPID, Note, Program, Spindle, Stop, locked
from pathkit.posting import Posted, air_cut, post, stream
from pathkit.readback import interpret
from pathkit.testing import demonstration, machine_for
from pathkit.testing.programs import program_of

NAN = math.nan
DIALECTS = {dialect.name: dialect for dialect in pathkit_dialects()}
MACHINES = {machine.name: machine for machine in pathkit_machines()}
GRBL = DIALECTS["grbl"]


def posted(program: Program, machine: Machine, setup: Setup | None = None) -> Posted:
    return post(program, machine, setup, dialect=DIALECTS[machine.dialect])


def corner() -> Program:
    """A board of 254 × 127 mm; a line along x, then a quarter turn to the left that climbs by 2.54 mm."""
    rows: list[tuple[Any, ...]] = [
        (RAPID, (NAN, NAN, 25.4), None, 0.0, NAN),
        (RAPID, (50.8, 25.4, 25.4), None, 0.0, NAN),
        (LINE, (50.8, 25.4, 2.54), None, 0.0, 254.0),
        (LINE, (101.6, 25.4, 2.54), None, 0.0, 508.0),
        (ARC, (127.0, 50.8, 5.08), (101.6, 50.8), math.pi / 2, 508.0),
        (RAPID, (127.0, 50.8, 25.4), None, 0.0, NAN),
    ]
    stock = Stock(254.0, 127.0, 12.7, z_zero="bed", thickness_tolerance=0.0)
    return program_of(rows, [(1, Spindle(12000.0)), (6, Spindle(0.0, 0)), (6, Stop())], stock=stock, title="Corner")


HAND_COMPUTED = {
    # Zero at the front left and axes as on paper: the numbers are the board's own.
    "grbl-front-left": """\
(pathkit: Corner)
G21
G17 G40 G49 G61 G80 G90 G94 G91.1 G54
G0 Z25.4
S12000 M3
G0 X50.8 Y25.4
G1 Z2.54 F254
X101.6 F508
G3 X127 Y50.8 Z5.08 I0 J25.4
G0 Z25.4
M5
M5 M9
M2
""",
    # Zero at the back right, X to the left, Y toward the operator: 254 − x and 127 − y. A half turn keeps the sense.
    "grbl-back-right": """\
(pathkit: Corner)
G21
G17 G40 G49 G61 G80 G90 G94 G91.1 G54
G0 Z25.4
S12000 M3
G0 X203.2 Y101.6
G1 Z2.54 F254
X152.4 F508
G3 X127 Y76.2 Z5.08 I0 J-25.4
G0 Z25.4
M5
M5 M9
M2
""",
    # X away, Y to the right, inches: y / 25.4 and x / 25.4. Mirrored numbers, so the sense of the arc swaps.
    "portrait-inch": """\
%
(pathkit: Corner)
G20
G17 G40 G49 G80 G90 G94 G98 G61 M48 G54
G0 Z1
S12000 M3
G0 X1 Y2
G1 Z0.1 F10
Y4 F20
G2 X2 Y5 Z0.2 I1 J0
G0 Z1
M5
M5 M9
M2
%
""",
}


@pytest.mark.parametrize("name", sorted(HAND_COMPUTED))
def test_text_worked_out_by_hand(name: str) -> None:
    """Where the zero lies and which way each axis grows, from the words of the profiles alone."""
    assert posted(corner(), MACHINES[name]).text == HAND_COMPUTED[name]


def test_the_twin_worked_out_by_hand() -> None:
    """12.7 mm of board and 1 mm of approach; one step more than 0.5393701 inch so that it is never less."""
    machine = MACHINES["portrait-inch"]
    twin = air_cut(posted(corner(), machine), machine, dialect=DIALECTS["rs274ngc"])
    assert twin.files[0].name == "corner-air.ngc"
    assert twin.text == (
        "%\n(pathkit: Corner - air cut)\nG20\nG17 G40 G49 G80 G90 G94 G98 G61 M48 G54\nG0 Z1.5394\nG0 X1 Y2\n"
        "G1 Z0.6394 F10\nY4 F20\nG2 X2 Y5 Z0.7394 I1 J0\nG0 Z1.5394\nM9\nM2\n%\n"
    )


def test_the_twin_rises_where_z_grows_downward() -> None:
    machine = machine_for(GRBL, axes=Axes(y="toward", z="down"))
    made = posted(corner(), machine)
    twin = air_cut(made, machine, dialect=GRBL)
    z = interpret(made.text, GRBL.capabilities).program.end[:, 2]
    air = interpret(twin.text, GRBL.capabilities).program.end[:, 2]
    assert air - z == pytest.approx(-13.7)


def test_the_twin_needs_the_board_and_its_own_machine() -> None:
    machine = machine_for(GRBL)
    program = corner().replace(frame="controller", stock=None)
    with pytest.raises(InputError, match="stock"):
        air_cut(post(program, machine, dialect=GRBL), machine, dialect=GRBL)
    with pytest.raises(InputError, match="Makerspace router"):
        air_cut(posted(corner(), machine), MACHINES["grbl-front-left"], dialect=GRBL)


def test_three_demonstration_machines() -> None:
    assert sorted(MACHINES) == ["grbl-back-right", "grbl-front-left", "portrait-inch"]
    portrait = MACHINES["portrait-inch"]
    assert portrait.left_handed
    assert portrait.output["units"] == "inch"
    assert MACHINES["grbl-back-right"].travel.low == (-600, -400, -80)


def test_every_row_knows_its_line() -> None:
    rows: list[tuple[Any, ...]] = [
        (RAPID, (NAN, NAN, 20.0), None, 0.0, NAN),
        (RAPID, (10.0, 20.0, 20.0), None, 0.0, NAN),
        (LINE, (10.0, 20.0, 5.0), None, 0.0, 300.0),
        (LINE, (10.0002, 20.0, 5.0), None, 0.0, 900.0),
        (LINE, (30.0, 20.0, 5.0), None, 0.0, 900.0),
    ]
    program = program_of(rows, [(2, Note("slot"))], stock=Stock(100.0, 100.0, 12.0))
    made = posted(program, MACHINES["grbl-front-left"])
    assert made.line_of_row.tolist() == [4, 5, 7, -1, 8]
    lines = [f"{line}\n" for line in made.text.splitlines()]
    assert [lines[n - 1] for n in made.line_of_row if n > 0] == ["G0 Z20\n", "X10 Y20\n", "G1 Z5 F300\n", "X30 F900\n"]
    head, slot = sum(map(len, lines[:4])), len(lines[5]) + len(lines[6])
    assert made.line_bytes.tolist() == [head, len(lines[4]), slot, 0, len(lines[7])]


def test_one_row_of_many_lines_points_to_the_first() -> None:
    machine = machine_for(GRBL, output={"arcs": "none"})
    made = posted(demonstration(), machine)
    steps = np.diff(made.line_of_row)
    assert steps[5] > 10
    assert (steps > 0).all()


coordinates = st.floats(-300.0, 300.0)


@given(
    st.sampled_from(sorted(MACHINES)),
    st.lists(
        st.tuples(st.floats(1e-4, 80.0), st.floats(-9.0, 9.0).filter(lambda s: abs(s) > 1e-4), st.floats(0, 6.3)),
        min_size=1,
        max_size=8,
    ),
    st.booleans(),
)
def test_no_controller_refuses_an_arc_of_ours(name: str, arcs: list[tuple[float, float, float]], helical: bool) -> None:
    """The reader judges by the controllers' own rules: GRBL's reproduced from its parser, RS274/NGC's from NISTIR 6556
    and its reference interpreter. Where the bit stands after each arc differs by half a count at most."""
    x, y, z = 100.0, 60.0, 5.0
    rows: list[tuple[Any, ...]] = [(RAPID, (NAN, NAN, 30.0), None, 0.0, NAN), (RAPID, (x, y, z), None, 0.0, NAN)]
    for radius, sweep, heading in arcs:
        centre = (x + radius * math.cos(heading), y + radius * math.sin(heading))
        x, y = (
            centre[0] - radius * math.cos(heading + sweep),
            centre[1] - radius * math.sin(heading + sweep),
        )
        z -= 0.3 if helical else 0.0
        rows.append((ARC, (x, y, z), centre, sweep, 700.0))
    program = program_of(rows, [], stock=Stock(200.0, 120.0, 12.0))
    machine = MACHINES[name]
    made = posted(program, machine)
    capabilities = DIALECTS[machine.dialect].capabilities.on(machine)
    reading = interpret(made.text, capabilities)
    assert not reading.findings, [str(finding) for finding in reading.findings]
    half = 0.5001 * (25.4e-4 if machine.output.get("units") == "inch" else 1e-3)
    last = reading.program.end[-1]
    where = {"grbl-front-left": (x, y), "grbl-back-right": (200.0 - x, 120.0 - y), "portrait-inch": (y, x)}[name]
    if len(reading.program) > 2:
        assert np.abs(last - [*where, z]).max() <= half + 0.001


def test_nothing_homes_or_moves_in_machine_coordinates() -> None:
    for machine in MACHINES.values():
        words = posted(demonstration(), machine).text.split()
        assert not {"G28", "G30", "G53", "G92", "G10"} & set(words)


@pytest.mark.parametrize("title", ["../../etc/passwd", "a/b\\c", "", "…", "CON", "x" * 300, "Plate 7 (Müller)"])
def test_file_names_are_bare(title: str) -> None:
    name = posted(demonstration().replace(title=title), MACHINES["portrait-inch"]).files[0].name
    assert name.endswith(".ngc")
    assert set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.")
    assert not name.startswith(".")
    assert len(name) < 80


def test_the_output_table_of_a_profile() -> None:
    machine = machine_for(
        GRBL, output={"suffix": ".gcode", "line_numbers": True, "program_end": "M30", "units": "inch"}
    )
    made = posted(demonstration(), machine)
    assert made.files[0].name == "cable-tidy-plate.gcode"
    assert made.text.splitlines()[1] == "N2 G20"
    assert made.text.endswith("M30\n")


@pytest.mark.parametrize(
    "output",
    [
        {"units": "furlong"},
        {"arcs": "always"},
        {"helical": "yes"},
        {"program_end": "M3 S24000"},
        {"suffix": "/../x"},
        {"line_length": 400},
    ],
)
def test_a_wrong_output_table_is_refused(output: dict[str, Any]) -> None:
    machine = machine_for(GRBL, output=output)
    with pytest.raises(ProfileError, match=next(iter(output))):
        posted(demonstration(), machine)


def test_arcs_that_the_dialect_cannot_write_are_refused() -> None:
    with pytest.raises(CapabilityError, match="absolute"):
        posted(demonstration(), machine_for(GRBL, output={"arcs": "absolute"}))


def test_set_up_and_offset() -> None:
    program = demonstration()
    plain = program.replace(event=program.event[1:], event_at=program.event_at[1:])
    made = posted(plain, MACHINES["grbl-front-left"], Setup(offset="G56", turn=1))
    assert " G56\n" in made.text
    assert made.setup == Setup(offset="G56", turn=1)
    # A quarter turn counter-clockwise on a board 80 mm deep: (x, y) → (80 − y, x).
    assert "G0 X60 Y10\n" in made.text


def test_several_files_have_no_single_text() -> None:
    made = posted(demonstration(), MACHINES["grbl-front-left"])
    object.__setattr__(made, "files", made.files * 2)
    with pytest.raises(InputError, match="2 files"):
        _ = made.text


def test_the_title_is_not_said_twice() -> None:
    program = demonstration()
    noted = program.replace(event=(Note(program.title), *program.event), event_at=[0, *program.event_at])
    assert posted(noted, MACHINES["portrait-inch"]).text == posted(program, MACHINES["portrait-inch"]).text


def test_same_bytes_in_another_process() -> None:
    code = (
        "from pathkit_posts import pathkit_dialects, pathkit_machines; from pathkit.testing import demonstration; "
        "from pathkit.posting import post; d = {d.name: d for d in pathkit_dialects()}; "
        "print(''.join(post(demonstration(), m, dialect=d[m.dialect]).text for m in pathkit_machines()), end='')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "".join(posted(demonstration(), machine).text for machine in pathkit_machines())


@pytest.mark.parametrize("dialect", pathkit_dialects(), ids=lambda dialect: dialect.name)
def test_the_pieces_of_a_stream_are_the_files(dialect: Any) -> None:
    """More rows than one piece holds, so that its state carries over."""
    count = 40_000
    rows = [(RAPID, (math.nan, math.nan, 50.0), None, 0.0, math.nan), (RAPID, (0.0, 0.0, 50.0), None, 0.0, math.nan)]
    rows += [(LINE, (k % 97 / 7.0, k % 89 / 3.0, 20.0 + k % 2), None, 0.0, 600.0 + k // 9000) for k in range(count)]
    program = program_of(rows, [(k, Note(f"row {k}")) for k in range(2, count, 9999)], frame="controller")
    machine = machine_for(dialect)
    files: dict[str, bytes] = {}
    sizes = []
    for name, piece in stream(program, machine, dialect=dialect):
        files[name] = files.get(name, b"") + piece
        sizes.append(len(piece))
    posted = post(program, machine, dialect=dialect)
    assert files == {file.name: file.data for file in posted.files}
    assert max(sizes) < sum(sizes) / 2
    assert posted.line_bytes.sum() == len(posted.files[0].data) - posted.files[0].data.count(b"%") * 2 - tail(posted)


def tail(posted: Posted) -> int:
    """Bytes after the last row's line; a mark of the tape's end is counted elsewhere."""
    lines = [line for line in posted.files[0].data.splitlines(keepends=True) if line.strip() != b"%"]
    last = int(posted.line_of_row.max()) - posted.files[0].data.startswith(b"%")
    return sum(map(len, lines[last:]))


def test_only_columns_that_nobody_can_change_are_taken_without_a_copy() -> None:
    program = demonstration()
    own = locked(program.end.copy())
    assert program.replace(end=own).end is own
    base = program.end.copy()
    view = base[:]
    view.setflags(write=False)
    seen = program.replace(end=view)
    base[-1, 2] = 77.0
    assert seen.end[-1, 2] == program.end[-1, 2]
    assert program.replace(end=base).end is not base
