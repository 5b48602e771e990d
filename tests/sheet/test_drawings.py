"""Both drawings of every variant, read back from their SVG and held against the list."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator

import pytest

from checker.core.wiring.svg import ink_of
from tests.sheet.variants import DrawnCase, Read, along, every, gap, made, on, plain

DRAWINGS = ("rail", "circuit")
TELEPHONE = 344  # what a screen of 360 leaves between its margins
each = pytest.mark.parametrize("drawing", DRAWINGS)


def read(drawing: str) -> Iterator[tuple[DrawnCase, Read]]:
    for case in every():
        yield case, Read(case.drawings[drawing]["svg"])


def wrong(drawing: str, claim: Callable[[DrawnCase, Read], bool]) -> list[str]:
    return [case.name for case, shown in read(drawing) if not claim(case, shown)]


def nets(case: DrawnCase) -> dict[str, int]:
    """The number of the group to which a terminal belongs, worked out from the list alone."""
    group: dict[str, int] = {}
    for wire in case.wires:
        a, b = plain(wire.source.id), plain(wire.target.id)
        keep, drop = group.setdefault(a, wire.number), group.setdefault(b, wire.number)
        group.update({name: keep for name, number in group.items() if number == drop})
    return group


@each
def test_every_wire_of_the_list_ends_where_the_list_says_and_no_other_is_drawn(drawing):
    def agrees(case: DrawnCase, shown: Read) -> bool:
        drawn = {n: tuple(plain(t or "nothing") for t in shown.ends(n)) for n in shown.wires}
        return drawn == {w.number: (plain(w.source.id), plain(w.target.id)) for w in case.wires}

    assert wrong(drawing, agrees) == []


def test_in_the_wiring_drawing_each_way_of_bar_and_connector_is_a_place_of_its_own():
    def exactly(case: DrawnCase, shown: Read) -> bool:
        return {n: shown.ends(n) for n in shown.wires} == {w.number: (w.source.id, w.target.id) for w in case.wires}

    assert wrong("rail", exactly) == []


@each
def test_no_wire_touches_a_terminal_that_it_is_not_joined_to(drawing):
    def clear(case: DrawnCase, shown: Read) -> bool:
        group = nets(case)
        for wire in case.wires:
            mine = group[plain(wire.source.id)]
            for place, terminal in shown.terminals.items():
                if group[plain(terminal)] != mine and any(on(place, s) for s in shown.stretches(wire.number)):
                    return False
        return True

    assert wrong(drawing, clear) == []


@each
def test_no_two_wires_run_on_top_of_each_other_unless_they_are_joined(drawing):
    def apart(case: DrawnCase, shown: Read) -> bool:
        group = nets(case)
        for one, other in itertools.combinations(case.wires, 2):
            if drawing == "circuit" and group[plain(one.source.id)] == group[plain(other.source.id)]:
                continue
            if any(along(a, b) for a in shown.stretches(one.number) for b in shown.stretches(other.number)):
                return False
        return True

    assert wrong(drawing, apart) == []


def test_a_joint_is_marked_where_wires_part_and_nowhere_else():
    def marked(case: DrawnCase, shown: Read) -> bool:
        group = nets(case)
        for joint in shown.joints:
            touching = {
                group[plain(w.source.id)] for w in case.wires if any(on(joint, s) for s in shown.stretches(w.number))
            }
            if len(touching) != 1:
                return False
        return True

    assert wrong("circuit", marked) == []


@each
def test_all_lettering_lies_on_the_paper_and_can_be_read_on_a_telephone(drawing):
    def legible(case: DrawnCase, shown: Read) -> bool:
        scale = min(1, TELEPHONE / shown.width)
        inside = all(0 <= int(t.get("x")) <= shown.width and 8 <= int(t.get("y")) <= shown.height for t in shown.texts)
        return inside and all(int(t.get("font-size")) * scale >= 9.5 for t in shown.texts)

    assert wrong(drawing, legible) == []


@each
def test_every_wire_carries_its_number_and_a_dark_edge(drawing):
    """In black and white the edge shows where a white or yellow wire would vanish."""

    def plainly(case: DrawnCase, shown: Read) -> bool:
        numbers = {t.text for t in shown.texts}
        edges = {paths[0].get("stroke") for paths in shown.paths.values()}
        return {str(w.number) for w in case.wires} <= numbers and edges <= {"#000", "#555"}

    assert wrong(drawing, plainly) == []


@each
def test_title_and_description_say_it_in_words(drawing):
    def said(case: DrawnCase, shown: Read) -> bool:
        twin = " ".join(case.drawings[drawing]["text"])
        named = {end.part for wire in case.wires for end in (wire.source, wire.target)}
        return bool(shown.title) and shown.desc == twin and all(re.search(rf"\b{name}\b", twin) for name in named)

    assert wrong(drawing, said) == []


@each
def test_nothing_in_a_drawing_runs_loads_or_needs_a_style_sheet(drawing):
    allowed = {"svg", "title", "desc", "rect", "path", "circle", "text", "g"}
    for case, shown in read(drawing):
        tags = {element.tag.rpartition("}")[2] for element in shown.root.iter()}
        names = {name for element in shown.root.iter() for name in element.attrib}
        assert tags <= allowed, case.name
        assert not [name for name in names if name.startswith("on") or "href" in name or name == "style"], case.name


@pytest.mark.parametrize(
    ("time_switch", "contactor", "spare"), [(1, 1, 5), (2, 1, 5), (3, 2, 9), (2, 3, 8), ("2.5", 1, 6)]
)
def test_devices_are_as_wide_as_their_modules_and_free_ways_are_counted(time_switch, contactor, spare):
    case = made({"device_kind": "time-switch-and-contactor", "device_modules": time_switch, "contactor_modules": contactor,
                 "spare_modules": spare})  # fmt: skip
    shown = Read(case.drawings["rail"]["svg"])
    widths = {name: width for name, _, width in shown.devices if name != "free"}
    for name, modules in (("KT1", time_switch), ("KM1", contactor)):
        assert abs(widths[name] - widths["F1"] * float(modules)) <= 1, name
    free = int(spare - float(time_switch) - contactor)
    assert sum(name == "free" for name, _, _ in shown.devices) == min(free, 4)
    assert any(t.text.startswith(f"{spare - float(time_switch) - contactor:g} ") for t in shown.texts)


def test_devices_do_not_overlap():
    for case, shown in read("rail"):
        spans = sorted((x, x + width) for _, x, width in shown.devices)
        assert all(a[1] <= b[0] + 1 for a, b in itertools.pairwise(spans)), case.name


@pytest.mark.parametrize("system", ["tn-s", "tn-c-s", "tt"])
def test_the_diagram_names_the_earthing_and_only_tt_has_an_electrode(system):
    shown = Read(made({"supply_system": system}).drawings["circuit"]["svg"])
    assert system.upper() in shown.texts[0].text
    ground = [p for p in shown.root.iter() if p.get("stroke-dasharray") == "3 3"]
    assert bool(ground) == (system == "tt")


@pytest.mark.parametrize(
    ("words", "count"), [("green-and-yellow", 2), ("brown", 1), ("white or grey", 1), ("mauve", 1)]
)
def test_a_colour_nobody_knows_is_drawn_white_and_stripes_have_two_inks(words, count):
    first, second = ink_of(words)
    assert (first, second) != (None, None)
    assert sum(ink is not None for ink in (first, second)) == count
    assert (first == "#fff") == (words in ("mauve", "white or grey"))


def test_the_comparison_itself_can_fail():
    case = next(iter(every()))
    svg = case.drawings["rail"]["svg"]
    start = re.search(r'data-number="1"><path d="M(\d+) (\d+)', svg)
    moved = svg.replace(f"M{start[1]} {start[2]}", f"M{int(start[1]) + 3} {start[2]}")
    assert Read(moved).ends(1)[0] is None


def test_the_breaker_has_its_rating_beside_it_only_where_that_is_known():
    """A draft is drawn for a case in doubt: a number there would be one that nobody read."""

    def beside(rating: object) -> list[str]:
        texts = Read(made({"breaker_rating_a": rating}).drawings["circuit"]["svg"]).texts
        return [text.text for text in texts if re.fullmatch(r".*\d A", text.text) or "known" in text.text]

    assert beside(16) == ["16 A"]
    assert beside("dont-know") == []


def rings(shown: Read) -> list[tuple[tuple[int, int], int]]:
    """The rings around the numbers, in the order of the list: place and radius."""
    circles = [c for c in shown.root.iter() if c.get("class") == "number"]
    return [((int(c.get("cx")), int(c.get("cy"))), int(c.get("r"))) for c in circles]


@each
def test_no_number_stands_where_another_wire_runs(drawing):
    """On a crossing a number is read for both wires. Wires of one net may run along each other in the diagram."""

    def alone(case: DrawnCase, shown: Read) -> bool:
        group = nets(case)
        for (place, radius), wire in zip(rings(shown), case.wires, strict=True):
            if any(gap(place, line) < radius for line in shown.lines()):
                return False
            for other in case.wires:
                if other is wire or (
                    drawing == "circuit" and group[plain(other.source.id)] == group[plain(wire.source.id)]
                ):
                    continue
                if any(gap(place, stretch) < radius for stretch in shown.stretches(other.number)):
                    return False
        return True

    assert wrong(drawing, alone) == []


@each
def test_every_number_stands_on_its_own_wire_and_no_two_overlap(drawing):
    def apart(case: DrawnCase, shown: Read) -> bool:
        held = rings(shown)
        mine = all(
            any(on(place, s) for s in shown.stretches(w.number)) for (place, _), w in zip(held, case.wires, strict=True)
        )
        return mine and all(
            (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 >= (r + q) ** 2
            for (a, r), (b, q) in itertools.combinations(held, 2)
        )

    assert wrong(drawing, apart) == []


@pytest.mark.parametrize("spare", [3, 4, 9])
def test_a_free_way_is_as_wide_as_a_module(spare):
    shown = Read(
        made({"device_kind": "time-switch", "device_modules": 2, "spare_modules": spare}).drawings["rail"]["svg"]
    )
    module = next(width for name, _, width in shown.devices if name == "F1")
    free = [width for name, _, width in shown.devices if name == "free"]
    assert free
    assert set(free) == {module}


def test_green_and_yellow_are_seen_as_stripes_of_both():
    """Green-and-yellow is the protective conductor (IEC 60446). A stripe as long as the wire is wide is seen; a hairline is not."""
    for case, shown in read("rail"):
        for wire in case.wires:
            if wire.link.function != "protective" or "yellow" not in wire.colour_new:
                continue
            _, under, over = shown.paths[wire.number]
            assert {under.get("stroke"), over.get("stroke")} == set(ink_of("green-and-yellow")), case.name
            stripe, between = map(int, over.get("stroke-dasharray").split())
            assert stripe == between >= int(over.get("stroke-width")) >= 3, case.name


def test_a_dashed_line_leads_from_the_clock_to_the_contact_that_it_moves():
    def led(case: DrawnCase, shown: Read) -> bool:
        links = [re.findall(r"-?\d+", p.get("d")) for p in shown.root.iter() if p.get("class") == "link"]
        ends = [((int(a), int(b)), (int(c), int(d))) for a, b, c, d in links]
        if not case.variant.clock:
            return ends == []
        dials = [(int(c.get("cx")), int(c.get("cy"))) for c in shown.root.iter() if c.get("r") == "11"]
        outs = {e.id for w in case.wires for e in (w.source, w.target)
                if e.terminal.part == "time-switch" and "-out-" in e.terminal.role}  # fmt: skip
        places = [place for place, terminal in shown.terminals.items() if terminal in outs]
        return any(
            any(abs(a[0] - x) == 11 and abs(a[1] - y) <= 1 for x, y in dials)
            and any(abs(b[0] - x) <= 10 and 0 < y - b[1] < 48 for x, y in places)
            for a, b in ends
        )

    assert wrong("circuit", led) == []
