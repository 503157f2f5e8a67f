"""Each broken file against the mistakes that stand in its first lines: `# expect: rule line:column`.

Those lines were taken from a run and then looked at one by one; `test_points_at_the_fault` holds the places against the
text of the file itself.
"""

import re
from pathlib import Path

import pytest

from generator import read
from generator.model.finding import Mistake

BROKEN = sorted((Path(__file__).parent / "broken").glob("*.yml"))
RULES = frozenset({"overfill-gap", "two-minute-rule"})
FOREIGN = re.compile(
    r"(?i:pydantic|input should|extra inputs|field required|traceback|\berror\b|\bdict\b|\btuple\b|\bstr\b|instance"
    r"|\bvalid\b|validat|schema|literal|mapping values|scanner|parser|token|0x|<class)|NoneType|\bNone\b",
)


def expected(path: Path) -> list[str]:
    lines = path.read_text(encoding="utf-8").splitlines()
    return [line.removeprefix("# expect: ") for line in lines if line.startswith("# expect: ")]


def found(mistakes: tuple[Mistake, ...]) -> list[str]:
    return [f"{one.rule} {one.place.line}:{one.place.column}" for one in mistakes]


def test_there_are_enough_of_them() -> None:
    assert len(BROKEN) >= 30


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_says_what_is_wrong_and_where(path: Path) -> None:
    plant, mistakes = read.plant(path, rules=RULES)
    assert plant is None
    assert found(mistakes) == expected(path)


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_speaks_to_an_engineer(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").split("\n")
    for mistake in read.plant(path, rules=RULES)[1]:
        ours = re.sub(r"`[^`]*`", "", f"{mistake.must} {mistake.stands} {mistake.cure}")  # what they wrote is theirs
        assert not FOREIGN.search(ours), str(mistake)
        assert 0 < mistake.place.line <= len(lines)
        assert 0 < mistake.place.column <= len(lines[mistake.place.line - 1]) + 1
        assert mistake.rule
        assert mistake.must
        assert mistake.stands
        assert "\n" not in f"{mistake.must}{mistake.stands}{mistake.cure}"


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_points_at_the_fault(path: Path) -> None:
    """Where a message quotes what stands there, the file has just that at the place named."""
    lines = path.read_text(encoding="utf-8").split("\n")
    for mistake in read.plant(path, rules=RULES)[1]:
        quoted = re.match(r"`([^`…]+)`(?: stands| is none| is not defined)", mistake.stands)
        if quoted and mistake.rule not in ("need", "condition", "yaml-tag", "blank-unknown"):
            there = lines[mistake.place.line - 1][mistake.place.column - 1:].lstrip("'\"")
            if mistake.subject.endswith("begins_at"):  # the level stands behind the tank there
                there = there[there.find(quoted[1]):]
            assert there.startswith(quoted[1]), str(mistake)


@pytest.mark.parametrize(("name", "cure"), [
    ("key_misspelt", "did you mean `diameter`?"),
    ("key_unknown_noun", "did you mean `valves`?"),
    ("key_of_a_block_below", "it belongs into `geometry`"),
    ("key_python_name", "did you mean `in`?"),
    ("word_misspelt", "did you mean `rising`?"),
    ("word_of_a_kind", "did you mean `vertical cylinder`?"),
    ("tag_unknown", "did you mean `water`?"),
    ("tag_old", "it is now `LSH-1`"),
    ("tag_unknown_in_condition", "did you mean `LSH-1`?"),
    ("rule_unknown", "did you mean `overfill-gap`?"),
    ("need_unknown", "did you mean `before`?"),
    ("condition_form", "did you mean `not`?"),
    ("level_unknown", "did you mean `overflow`?"),
    ("level_not_given", "write `rim:` under `levels` of T-1"),
    ("unit_missing", "write `2 m`, if that is the unit"),
    ("unit_missing_of_millimetres", "write `2500 mm`, if that is the unit"),
    ("unit_metres_for_minutes", "minutes are `min`; `m` are metres"),
    ("decimal_comma_alone", "write a point for the decimals: `1.5 m`"),
    ("form_scalar_for_list", "write `hazards: [hot]`"),
    ("quote_far_above", 'write " behind the value too, or take this one away'),
    ("quote_single", "write ' behind the value too, or take this one away"),
    ("yaml_colon", "put the value in quotes, for a colon and a space stand in it"),
    ("yaml_colon_without_space", "write `agitated: no`"),
    ("yaml_indent", "indent it by 2 or 4 spaces, like the lines that it belongs to"),
    ("indent_too_far", "indent it by 4 spaces, like the lines that it belongs to"),
    ("unit_of_another_kind_unclear", ""),
    ("unit_two", "one number, one unit: `4.5 min`"),
    ("yes_in_capitals", "write `yes`"),
    ("share_sign_first", "write `95 % of volume`, or of height, or of range, whichever is meant"),
    ("need_colon_without_space", "a space must follow the colon: `before: overflow`"),
    ("form_list_for_one", "write one of them; a tank has one `area`"),
    ("needs_empty", "write each on a line of its own under `needs:`, such as `- {before: overflow, time: 2 min}`; "
                    "or take the key out where it may be left out"),
    ("span_of_nothing", ""),
    ("then_empty", "write each final element and the state that it is driven to, such as `{P-101: stopped}`"),
    ("condition_empty", "write a tag, or a block such as `{any_of: [one, another]}`"),
    ("condition_of_words", "write `{any_of: [LSH-1, {not: LSL-1}]}`"),
    ("condition_vote_of_the_trade", "a vote is written `2 of`, and its members follow"),
    ("state_of_the_trade", "did you mean `closed`?"),
    ("share_for_a_height", "give the length; a share is a need: `{at: 80 % of height}`"),
    ("number_as_a_sum", "one number, one unit: `2.15 m`"),
    ("word_of_the_trade", "did you mean `rising`?"),
    ("floor_fall_of_a_cone", "take it out"),
    ("floor_fall_of_a_hopper", "take it out"),
    ("level_of_a_hazard_in_metres", "known there: bottom, overflow, N1, LSH-1; or add a mark of that height under `marks` "
                                    "of T-1 and name it here"),
])
def test_offers_a_cure(name: str, cure: str) -> None:
    _, mistakes = read.plant(Path(__file__).parent / "broken" / f"{name}.yml", rules=RULES)
    assert [one.cure for one in mistakes] == [cure]


@pytest.mark.parametrize(("line", "sign"), [
    ('    service: 12" pipe to the tank\'s "inner" side\n', ""),
    ('    service: "runs on\n      and ends here"\n', ""),
    ("    service: 'the tank''s end' # it's \"so\n", ""),
    ('    service: >\n      "a text\n      that it\'s no quote in\n', ""),
    ('    cleaned_with: ["none, \'acid\']\n', '20'),
    ('    service: "an \\" escaped\n', '14'),
    ("    service: 'it''s open\n", "14"),
])
def test_the_open_quote_is_told_from_other_signs(tmp_path: Path, line: str, sign: str) -> None:
    """Line 9 holds the signs; line 90 or so cannot be read in any case, and is blamed where no quote above it is."""
    file = tmp_path / "plant.yml"
    text = (Path(__file__).parent / "broken" / "yaml_at_sign.yml").read_text(encoding="utf-8").replace("@tank", "tank")
    upper, middle, lower = text.partition("    liquid: water\n")
    filler = "".join(f"    # line {number}\n" for number in range(80))
    file.write_text(f"{upper}{line}{middle}{filler}{lower}note: @x\n", encoding="utf-8")
    (mistake,) = read.plant(file)[1]
    where = ("quote", f"9:{sign}") if sign else ("yaml", f"{file.read_text(encoding='utf-8').count(chr(10))}:7")
    assert (mistake.rule, f"{mistake.place.line}:{mistake.place.column}") == where


def test_a_unit_that_is_not_known_gets_the_nearest(tmp_path: Path) -> None:
    text = (Path(__file__).parent / "broken" / "unit_unknown.yml").read_text(encoding="utf-8")
    file = tmp_path / "plant.yml"
    file.write_text(text.replace("2 metres long", "2000 MM"), encoding="utf-8")
    assert [one.cure for one in read.plant(file)[1]] == ["did you mean `mm`?"]


def test_many_mistakes_are_named_in_one_run(tmp_path: Path) -> None:
    text = (Path(__file__).parent / "broken" / "key_misspelt.yml").read_text(encoding="utf-8")
    text = text.replace("liquid: water", "liquid: oil").replace("elevation: 1 m", "elevation: 1")
    file = tmp_path / "plant.yml"
    file.write_text(text, encoding="utf-8")
    assert {one.rule for one in read.plant(file)[1]} == {"unknown-key", "unknown-tag", "unit-missing"}


def test_a_mistake_reads_as_one_line_with_its_cure() -> None:
    path = Path(__file__).parent / "broken" / "key_misspelt.yml"
    _, (mistake,) = read.plant(path)
    assert str(mistake).endswith(
        "key_misspelt.yml:11:38: unknown-key tanks.T-1.shape.diamter: only known keys may stand here; "
        "`diamter` is none of them\n    cure: did you mean `diameter`?"
    )
