"""A mill with habits of its own, written from posts/README.md alone."""

from pathkit import Capabilities, Checksum, Dialect, Grammar, Words, hookimpl

CODES = "G0 G1 G2 G3 G4 G20 G21 G40 G49 G54 G80 G90 G94 M0 M2 M3 M4 M5 M8 M9"
CHECKSUM = Checksum(mark="*", kind="xor")

GRAMMAR = Grammar(
    title="Odd mill",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJMNPSTXYZ"),
    axis_claims=frozenset({"G0", "G1", "G2", "G3"}),
    power_up={},
    other_words={"G171": "G17"},
    modal=False,
    modal_feed=False,
    slanting_rapids=False,
    checksum=CHECKSUM,
    line_limit=64,
    line_number_max=9_999,
    blanks=b" \t\r",
)


class OddMill(Dialect):
    """A demonstration: everything in which one mill may differ from another, by declarations alone."""

    name = "odd-mill"
    title = "Odd mill"
    suffix = ".cnc"
    words = Words(modes="G171 G40 G49 G80 G90 G94")
    capabilities = Capabilities(
        fixed_decimals=True,
        feed_decimals=0,
        speed_unit=1000,
        modal=False,
        modal_feed=False,
        slanting_rapids=False,
        offsets=("G54",),
        dwell_unit="ms",
        line_length=64,
        line_end="\r\n",
        line_numbers=True,
        line_number_start=10,
        line_number_step=10,
        checksum=CHECKSUM,
        grammar=GRAMMAR,
    )


@hookimpl
def pathkit_dialects():  # type: ignore[no-untyped-def]
    return [OddMill()]
