"""A beam with a controller of the GRBL family in its laser mode, written from posts/README.md alone."""

from pathkit import ArcRule, Capabilities, Dialect, Grammar, Words, hookimpl

CODES = "G0 G1 G2 G3 G4 G17 G20 G21 G40 G49 G54 G80 G90 G91.1 G94 M0 M2 M3 M4 M5 M8 M9"

GRAMMAR = Grammar(
    title="Beam",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJMNPSTXYZ"),
    axis_claims=frozenset({"G0", "G1", "G2", "G3"}),
    power_up={},
    end_modes=("G1", "G17", "G90", "G94", "G54", "M5", "M9"),
    real_time=b"!?~\x18" + bytes(range(0x80, 0x100)),
    line_limit=79,
    line_counts="bare",
    arc=ArcRule(slack=0.005, slack_inch=0.005, relative=0.001, limit=0.5, full_turn=5e-7, single=True),
)


class BeamTool(Dialect):
    """A demonstration: S is the power of the beam, from 0 to 1000, and stands beside each move that changes it."""

    name = "beam-tool"
    title = "Beam"
    suffix = ".nc"
    words = Words(modes="G17 G40 G49 G80 G90 G91.1 G94")
    capabilities = Capabilities(
        beam=True,
        speed_unit=1000,
        spindle_senses=frozenset(),
        full_circles=False,
        arc_radius_slack=0.005,
        offsets=("G54",),
        line_length=79,
        grammar=GRAMMAR,
    )


@hookimpl
def pathkit_dialects():  # type: ignore[no-untyped-def]
    return [BeamTool()]
