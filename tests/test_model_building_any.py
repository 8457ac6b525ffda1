"""Any steps of building in any order, and back again: nothing is lost, and all of it is undone."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from model.book.edits import SettingEdit, StructureEdit
from model.book.page_file import changed, open_page
from model.book.read import parse_page
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.copying import copied
from model.rig.building.grips import GRIPS, BarWish, gripped
from model.rig.building.hanging import kinds_for
from model.rig.building.kit import TYPES, kit_added, read_kit
from model.rig.building.spots import gap_added, height_added, spot_removed
from model.rig.building.steps import (
    Wish,
    added,
    hung,
    limited,
    ordered,
    other_kind,
    removed,
)
from model.rig.building.steps import changed as set_of
from model.rig.part import FLOOR, NOT_HUNG
from model.rig.setting import taken
from model.rig.tree import rig_tree
from tests.building import KINDS, Bench, empty_rig
from tests.shapes import PAGE
from tests.sizes import examples

NAMES = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12)
FIELDS = st.sampled_from([
    ("tube", "38.1"), ("colour", "green"), ("serial", "C-07"), ("care", "two people"),
    ("weight", "2.2?"), ("dial.tension", "word"), ("dial.lug", "Hz"), ("dial.lug", "none"),
    ("length", "3 ft"), ("edge", "top"), ("size", 'disc 20"'), ("size", "shell 14in x 5in"),
    ("offset", "0, 10, 30"), ("side", "left"), ("curve", "arc 900, sagitta 60"), ("role", "tom"),
    ("colour", "none"), ("name", "Boom"), ("name", "太鼓"),
])  # fmt: skip
MOST_PARTS = 40


class Building(RuleBasedStateMachine):
    """A page that is built on at random; each step is one that a person could make."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        file = empty_rig(Path(self.folder.name))
        self.bench, self.start = Bench(file), file
        self.refused = 0

    def teardown(self) -> None:
        """Go all the way back: that is the start, to the letter."""
        while self.bench.done:
            self.bench.undo()
        assert self.bench.file.text == self.start.text
        assert self.bench.page == self.start.page
        self.folder.cleanup()

    def make(self, step: Changes | Refusal) -> None:
        """Make a step; one that cannot be says why and what would be right, and changes nothing."""
        if isinstance(step, Refusal):
            assert step.why
            assert step.right
            self.refused += 1
            return
        before = set(self.bench.page.by_id)
        self.bench.do(step)
        assert before - set(self.bench.page.by_id) == step.gone

    def part(self, data: st.DataObject) -> str:
        """Choose a part of the page."""
        return data.draw(st.sampled_from(sorted(self.bench.page.by_id)))

    def place(self, data: st.DataObject) -> str:
        """Choose something to hang on."""
        return data.draw(st.sampled_from([FLOOR, NOT_HUNG, *sorted(self.bench.page.by_id)]))

    def has_room(self) -> bool:
        return len(self.bench.page.parts) < MOST_PARTS

    @precondition(has_room)
    @rule(data=st.data(), name=NAMES)
    def add(self, data: st.DataObject, name: str) -> None:
        on = self.place(data)
        fitting = [kind.id for kind in kinds_for(self.bench.page, on, self.bench.kinds)]
        kind = data.draw(st.sampled_from(fitting or ["foot-post"]))
        wish = Wish(name, kind, on=(on,))
        self.make(added(self.bench.page, wish, self.bench.kinds, pair=self.bench.pair))

    @precondition(has_room)
    @rule(data=st.data(), name=NAMES)
    def piece(self, data: st.DataObject, name: str) -> None:
        wish = Wish(name, type="piece", on=(self.place(data),), fields={"size": "disc 300"})
        self.make(added(self.bench.page, wish, KINDS, pair=self.bench.pair))

    @precondition(has_room)
    @rule(data=st.data(), grip=st.sampled_from(sorted(GRIPS)), curved=st.booleans())
    def bar(self, data: st.DataObject, grip: str, curved: bool) -> None:
        rails = [id_ for id_, part in self.bench.page.by_id.items() if part.type in ("post", "bar")]
        if rails:
            chosen = data.draw(st.lists(st.sampled_from(rails), min_size=1, max_size=2))
            wish = BarWish("Bar", tuple(chosen), grip, curved)  # type: ignore[arg-type]
            self.make(gripped(self.bench.page, wish, self.bench.kinds, pair=self.bench.pair))

    @precondition(has_room)
    @rule(sort=st.sampled_from(sorted(TYPES)))
    def kit(self, sort: str) -> None:
        size = ', 10"' if TYPES[sort][0] else ""
        kit = read_kit(f"tom, {sort}{size}\nother, cymbal, 300", "kit")
        assert kit.problems == ()
        self.make(kit_added(self.bench.page, kit, self.bench.kinds, pair=self.bench.pair))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def hang(self, data: st.DataObject) -> None:
        self.make(hung(self.bench.page, self.part(data), (self.place(data),)))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data(), field=FIELDS)
    def set(self, data: st.DataObject, field: tuple[str, str]) -> None:
        self.make(set_of(self.bench.page, self.part(data), dict([field])))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def kind(self, data: st.DataObject) -> None:
        kind = data.draw(st.sampled_from(sorted(self.bench.kinds)))
        self.make(other_kind(self.bench.page, self.part(data), kind, self.bench.kinds))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def remove(self, data: st.DataObject) -> None:
        page, part = self.bench.page, self.part(data)
        hanging = {p.id for p in page.parts if part in p.on}
        self.make(removed(page, part))
        assert hanging <= {p.id for p in rig_tree(self.bench.page).not_hung}

    @precondition(lambda self: self.bench.page.parts and self.has_room())
    @rule(data=st.data())
    def copy(self, data: st.DataObject) -> None:
        self.make(copied(self.bench.page, (self.part(data),), pair=self.bench.pair))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def order(self, data: st.DataObject) -> None:
        before = data.draw(st.sampled_from([None, *sorted(self.bench.page.by_id)]))
        self.make(ordered(self.bench.page, self.part(data), before=before))

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def spot(self, data: st.DataObject) -> None:
        page = self.bench.page
        if data.draw(st.booleans()) and page.spots:
            self.make(spot_removed(page, page.spots[0].id))
        elif data.draw(st.booleans()):
            self.make(gap_added(page, self.part(data), self.part(data), pair=self.bench.pair))
        else:
            self.make(height_added(page, self.part(data), pair=self.bench.pair))

    @rule(data=st.data(), value=st.floats(0, 900))
    def read(self, data: st.DataObject, value: float) -> None:
        """A reading between the steps: it is undone with them, in their order."""
        page = self.bench.page
        keys = [k for k, d in page.declared.items() if d.quantity in ("length", "angle")]
        key = data.draw(st.sampled_from(keys))
        edit = SettingEdit(key, taken(page.setting(key), round(value, 3), using="tape"))
        before, page_before = self.bench.file.text, page
        self.bench.file = changed(self.bench.file, edit)
        self.bench.done.append(StructureEdit(
            what="read", at="", before=before, after=self.bench.file.text,
            page_before=page_before, page_after=self.bench.page,
        ))  # fmt: skip

    @precondition(lambda self: self.bench.page.parts)
    @rule(data=st.data())
    def limit(self, data: st.DataObject) -> None:
        keys = [k for k, d in self.bench.page.declared.items() if d.quantity != "word"]
        key = data.draw(st.sampled_from(keys))
        self.make(limited(self.bench.page, key, data.draw(st.sampled_from([None, (0.0, 4.0)]))))

    @precondition(lambda self: self.bench.done)
    @rule()
    def undo(self) -> None:
        self.bench.undo()

    @invariant()
    def the_page_loads(self) -> None:
        """The text reads as the value, with nothing that refuses it."""
        read = parse_page(self.bench.file.text, "page")
        assert read.page == self.bench.page


TestBuilding = Building.TestCase
TestBuilding.settings = settings(
    max_examples=examples(40, 2000), stateful_step_count=examples(12, 25), deadline=None
)


def test_a_step_on_a_page_by_hand_and_back(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    path.write_text(PAGE, "utf-8")
    bench = Bench(open_page(path))
    for part in list(bench.page.by_id):
        bench.do(removed(bench.page, part))
    assert bench.page.parts == ()
    while bench.done:
        bench.undo()
    assert bench.file.text == PAGE
