"""What every page is made from."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Any

from msgspec import Struct, field

from generator.model.finding import Finding, Review
from generator.model.knowledge import Knowledge
from generator.model.numbers import Numbers
from generator.model.plant import Definitions
from generator.model.record import Outcome
from generator.model.results import Results
from generator.pages import reach
from generator.pages.paths import Paths
from generator.pages.reach import ReachView

_LINKABLE = ("tanks", "switches", "interlocks", "pumps", "valves", "equipment", "instruments", "alarms", "signals",
             "panels", "relays", "controls", "hazards", "tests", "references", "supplies", "links", "holds")


class Context(Struct, frozen=True, dict=True):
    """The plant with everything worked out about it. `sources` are the definition files by name."""

    plant: Definitions
    results: Results
    review: Review
    knowledge: Knowledge
    sources: Mapping[str, str]
    numbers: Numbers = field(default_factory=Numbers)

    @cached_property
    def paths(self) -> Paths:
        """Where each tag stands."""
        return Paths(self.plant)

    @cached_property
    def linkable(self) -> frozenset[str]:
        """Tags that become links wherever free text names them; short plain words are left alone."""
        return frozenset(
            tag for noun in _LINKABLE for tag in getattr(self.plant, noun) if any(letter.isdigit() for letter in tag)
        )

    @cached_property
    def spaced(self) -> tuple[str, ...]:
        """Those of them that hold a space or a stroke."""
        return tuple(sorted(tag for tag in self.linkable if " " in tag or "/" in tag))

    @property
    def values(self) -> Mapping[str, Outcome]:
        """Values that free text may refer to: "LSHH-210 height", "T-210 capacity", "T-210 volume to overflow"."""
        return self.results.values

    @cached_property
    def open_findings(self) -> Mapping[str, tuple[Finding, ...]]:
        """Findings that somebody must look at, by each tag that they name."""
        made: dict[str, list[Finding]] = {}
        for one in self.review.findings:
            if one.verdict not in ("pass", "does not apply"):
                for tag in dict.fromkeys(one.tags):
                    made.setdefault(tag, []).append(one)
        return {tag: tuple(found) for tag, found in made.items()}

    @cached_property
    def feeds(self) -> Mapping[str, tuple[str, ...]]:
        """Keys of the records that each record goes into."""
        return {source: keys for source, keys in self.results.dependencies.feeds.items() if source.startswith("#")}

    @cached_property
    def reach(self) -> Mapping[str, frozenset[str]]:
        """Tags that each record and each written figure reaches through the calculations."""
        return reach.reached(self.results.dependencies)

    def reach_of(self, sources: Iterable[str], without: str = "") -> ReachView:
        """Tags that some sources reach, as links in the order of the plant; `without` the one they belong to."""
        tags = reach.of_sources(self.reach, sources) - {without}
        known = sorted(tags, key=lambda tag: self.order.get(tag, len(self.order)))
        return ReachView(tuple(self.paths.link(tag) for tag in known[:reach.MOST]), max(0, len(known) - reach.MOST))

    @cached_property
    def order(self) -> Mapping[str, int]:
        """Place of each tag in the plant, tanks first."""
        return {str(tag): number for number, tag in enumerate(self.plant.noun_of)}

    @cached_property
    def record_views(self) -> dict[str, Any]:
        """Records made ready to place so far, by key (pages/records.py)."""
        return {}

    @cached_property
    def findings_of(self) -> Mapping[str, tuple[Finding, ...]]:
        """Findings by the tags they name; a tag that none names has none."""
        found: defaultdict[str, list[Finding]] = defaultdict(list)
        for finding in self.review.findings:
            for tag in dict.fromkeys(finding.tags):
                found[tag].append(finding)
        return {tag: tuple(some) for tag, some in found.items()}

    def findings_about(self, *tags: str) -> tuple[Finding, ...]:
        """Findings that name one of the tags, each once."""
        return tuple(dict.fromkeys(one for tag in tags for one in self.findings_of.get(tag, ())))
