"""A blank form for measuring a room. Its fields are the survey file's: the key stands in brackets after its words."""

from __future__ import annotations

from collections.abc import Sequence

from flooring_kit.room import (
    EDGE_KINDS,
    FLOORS_BELOW,
    FLOORS_BEYOND,
    OBSTACLE_KINDS,
    PIPE_KINDS,
    SUBFLOORS,
    SWINGS,
)
from flooring_kit.site_sheets.blocks import PORTRAIT, Block, Heading, Sentences, Sheet, Squares, Table

CORNERS, DOORS, OBSTACLES, WALLS, TIES, PIPES = 12, 4, 4, 12, 6, 6
LEVELS, EDGES, STRAIGHTEDGES, APPLIANCES = 12, 6, 4, 3
"""How much room the form has of each; a room with more of them takes a second copy of that page."""

UNITS = ("mm", "cm", "m", "in", "ft")
SKETCH_MM = 125.0
CAUTION = (
    "Damp of unknown origin, old tiles and black adhesive, old paint on linings: leave them alone and have them looked "
    "at. Local codes and licensed practice decide."
)


def form_sheets() -> list[Sheet]:
    """The pages of the form."""
    return [_room(), _walls(), _doors(), _things(), _subfloor()]


def _room() -> Sheet:
    fields = (
        ("Room (name)", ""),
        ("Unit of every plain number (units)", _choice(UNITS)),
        ("Subfloor (subfloor)", _choice(SUBFLOORS)),
        ("What lies below (below)", _choice(FLOORS_BELOW)),
        ("Heated from below (heated)", _choice(("true", "false"))),
        ("Bathroom, kitchen, utility room (wet)", _choice(("true", "false"))),
        ("Boards are to run (boards_run)", _choice(("long", "short")) + "   or degrees from the x axis: ______"),
        ("Old floorboards run (floorboards_run)", _choice(("long", "short")) + "   or degrees: ______   none ☐"),
        ("The main light comes through wall (main_light)", ""),
        ("Covering taken up, its pad with it: thickness (old_covering)", ""),
        ("Its thermal resistance, m²K/W, if known (old_covering_resistance)", ""),
    )
    told = (
        "Measure at floor level, skirting face to skirting face. Number the corners in order round the room; wall 1 "
        "runs from corner 1 to corner 2. Write the unit with every figure that is not in the unit ticked.",
        "Take every length twice. Take both diagonals, or one more tie for each corner beyond four: they show a slip "
        "of the tape.",
    )
    sketch = "Sketch, squares of 5 mm: numbered corners, walls, doorways, pipes, hearth, an arrow the way x points"
    return Sheet(
        "Survey, the room",
        CAUTION,
        (
            Sentences(told),
            _form(("Field", "Write or tick"), fields, (0.46, 0.54)),
            Heading(sketch),
            Squares(PORTRAIT.free_mm[0], SKETCH_MM),
        ),
    )


def _walls() -> Sheet:
    blocks: list[Block] = [
        Heading("Walls as taped (wall)"),
        Sentences(
            (
                "Walk with the wall on your left hand. The turn is at the wall's far end: 90 to the right at a plain "
                "corner, -90 to the left at a chimney breast.",
            )
        ),
        _blank(("Wall", "Length (length)", "Turn at its far end, degrees (turn)", "Taped again"), WALLS, (1, 3, 3, 3)),
        Heading("Ties: diagonals and other straight lines between two corners (tie)"),
        _blank(
            ("From corner", "to corner (corners)", "Length (length)", "Taped again"), TIES, (2, 2, 3, 3), numbered=False
        ),
        Heading("Walls that are bowed or round, or end in something other than a skirting (edge)"),
        Sentences(
            (
                f"Ends in (kind): {', '.join(EDGE_KINDS)}. Bow: string line from corner to corner, pairs of how far "
                "along and how far the wall stands behind it. Rise: how far the middle of an arc stands out.",
            )
        ),
        _blank(
            ("Wall (wall)", "Kind (kind)", "Rise (rise)", "Bow (bow)", "Bottom riser (riser)", "Above (risers_above)"),
            EDGES,
            (1.2, 2, 1.4, 3.4, 1.8, 2.2),
            numbered=False,
        ),
    ]
    return Sheet("Survey, walls", CAUTION, blocks)


def _doors() -> Sheet:
    fields = (
        ("Name (name)", ""),
        ("In wall (wall)", ""),
        ("From the wall's first corner to the near side of the opening (from_corner)", ""),
        ("Clear width between the linings (opening)", ""),
        ("How far the floor runs in, to the middle of the closed leaf (recess)", ""),
        ("Frame can be undercut (undercut)", "true ☐ false ☐"),
        ("Width of one architrave (architrave)", ""),
        ("Floor beyond when all is done (beyond)", "\n".join(f"{word} ☐" for word in FLOORS_BEYOND)),
        ("Its top over this room's bare subfloor, near end and far end (beyond_height)", ""),
        ("Under the closed leaf now, at the floor's highest there (leaf_clearance)", ""),
        ("Wanted under it over the new floor (leaf_wanted)", ""),
        ("Leaf swings over this floor, or out (leaf_swings)", _choice(SWINGS).replace("   ", " ")),
        ("Floor higher somewhere in its swing by (leaf_high_spot)", ""),
        ("It is, or may be, a fire door (fire_door)", "true ☐ false ☐"),
    )
    rows = tuple((words, *(cell,) * DOORS) for words, cell in fields)
    heads = ("Doorway (door)", *(f"Door {number}" for number in range(1, DOORS + 1)))
    told = (
        "Near and far are as you walk along the wall from its first corner. Lock, hinge side and lining: take a "
        "photograph. Fire doors are never trimmed without their test evidence.",
    )
    return Sheet("Survey, doorways", CAUTION, (Sentences(told), _form(heads, rows, (3, *(1.75,) * DOORS))))


def _things() -> Sheet:
    blocks: list[Block] = [
        Heading("Corners by x and y, where the walls were not taped (outline)"),
        _form(
            ("Corner", "x", "y") * 2,
            tuple((str(corner), "", "", str(corner + CORNERS // 2), "", "") for corner in range(1, CORNERS // 2 + 1)),
            (1, 2, 2, 1, 2, 2),
        ),
        Heading("Things the floor goes round (obstacle)"),
        Sentences((f"Kind: {', '.join(OBSTACLE_KINDS)}. Corners: how far along x and along y from corner 1.",)),
        _blank(
            ("Name (name)", "Kind (kind)", "Corners in order, x and y of each (outline)"),
            OBSTACLES,
            (2, 1.5, 5),
            numbered=False,
        ),
        Heading("Pipes and radiator feet (pipe)"),
        _blank(
            ("Pipe", "Centre: x and y (at)", "Outside diameter (diameter)", _kinds(PIPE_KINDS)), PIPES, (0.8, 3, 2, 3.4)
        ),
        Heading("What has to slide out again from under something (appliance)"),
        _blank(
            ("Name (name)", "Height, feet screwed in (height)", "From the present floor to the underside (space)"),
            APPLIANCES,
            (2, 2, 3),
            numbered=False,
        ),
    ]
    return Sheet("Survey, what stands in the room", CAUTION, blocks)


def _subfloor() -> Sheet:
    blocks: list[Block] = [
        Heading("Levels of the subfloor (level)"),
        Sentences(
            (
                "Heights over any one mark, a higher floor a larger figure. On a grid of about 1 m, and at each end of "
                "every doorway.",
            )
        ),
        _blank(("Reading", "Place: x and y (at)", "Height (height)"), LEVELS, (1, 3, 3)),
        Heading("Largest gap under a straightedge that rests on the floor (straightedge)"),
        _blank(
            ("Reading", "Where its middle lay: x and y (at)", "Gap (gap)", "Its length, mostly 2000 (length)"),
            STRAIGHTEDGES,
            (1, 3, 2, 3),
        ),
        Heading("Photographs, and what else was seen"),
        _blank(("File name", "What it shows"), 5, (2, 5), numbered=False),
        _blank(("Measured by", "Date", "Tape and level used"), 1, (1, 1, 1), numbered=False),
    ]
    return Sheet("Survey, the subfloor", CAUTION, blocks)


def _choice(words: Sequence[str]) -> str:
    """Words to tick, apart from each other."""
    return "   ".join(f"{word} ☐" for word in words)


def _kinds(words: Sequence[str]) -> str:
    return f"Kind: {' or '.join(words)} (kind)"


def _form(heads: Sequence[str], rows: Sequence[tuple[str, ...]], widths: tuple[float, ...]) -> Table:
    return Table(tuple(heads), tuple(rows), to_fill=True, widths=widths)


def _blank(heads: Sequence[str], lines: int, widths: tuple[float, ...], *, numbered: bool = True) -> Table:
    """Lines to write on; the first column counts them where it is a number."""
    rows = tuple((str(line) if numbered else "", *("",) * (len(heads) - 1)) for line in range(1, lines + 1))
    return _form(heads, rows, widths)
