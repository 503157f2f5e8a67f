"""Small plants for the tests, written as the YAML would hold them; what a test does not say is filled in here."""

from typing import Any

from generator import compute
from generator.model.knowledge import Knowledge, PublishedRule
from generator.model.plant import Definitions
from generator.model.results import Results

UPRIGHT = {"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m"}
KNOWLEDGE = Knowledge(rules={
    "gap": PublishedRule("gap", "gap", "API Std 2350", "", "", "found", time=300.0, height=0.075),
    "starts": PublishedRule("starts", "starts", "table", "", "", "found", cycles=((15e3, 600.0), (75e3, 900.0))),
})


def plant(**nouns: Any) -> Definitions:
    """A plant of one tank T-1 unless a test says otherwise: error 10 mm own and 5 mm common, no waves, no step."""
    head = {"name": "Test", "document": {"number": "1", "status": "draft", "as_of": "2026-01-01"},
            "rules_in_force": {"gap": {}}, "defaults": {"accuracy": {"own": "10 mm", "common": "5 mm"}}}
    head.update(nouns.pop("plant", {}))
    base = {
        "plant": head, "areas": {"A": {"name": "Area"}}, "liquids": {"water": {"name": "Water"}},
        "tanks": {"T-1": tank()}, "instruments": {"LX-1": body()},
    }
    return Definitions.model_validate(base | nouns)


def tank(shape: dict[str, Any] = UPRIGHT, **keys: Any) -> dict[str, Any]:
    """A tank; an overflow at 3.5 m unless said otherwise."""
    made = {"area": "A", "service": "Tank", "liquid": "water", "datum": {"elevation": "100 m"}, "shape": shape,
            "levels": {"overflow": "3.5 m"}}
    return made | keys


def body(tank: str = "T-1", **keys: Any) -> dict[str, Any]:
    """An instrument."""
    return {"tank": tank, "technology": "guide tube float"} | keys


def switch(acts: str, *needs: dict[str, Any], issued: str | None = None, **keys: Any) -> dict[str, Any]:
    """A point on LX-1."""
    height: dict[str, Any] = {"needs": list(needs)}
    if issued is not None:
        height["issued"] = issued
    return {"in": "LX-1", "acts": acts, "role": "alarm", "height": height} | keys


def stream(from_: str, into: str, highest: str, **keys: Any) -> dict[str, Any]:
    """A stream; `flow` may add lowest and normal."""
    flow = {"highest": highest} | keys.pop("flow", {})
    return {"name": "stream", "from": from_, "into": into, "flow": flow} | keys


def pump(flow: str = "36 m3/h", **keys: Any) -> dict[str, Any]:
    """A pump that draws from T-1."""
    return {"area": "A", "service": "Pump", "flow": flow,
            "suction": {"tank": "T-1", "kind": "bell", "height": "0.2 m", "diameter": "200 mm"}} | keys


def worked(**nouns: Any) -> Results:
    """Results of a small plant."""
    return compute.results(plant(**nouns), KNOWLEDGE)
