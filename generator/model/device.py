"""What is worked out for a device: where it acts, how it is cut and set, and whether it suits liquid and place. SI."""

from typing import Literal

from msgspec import Struct

from generator.model.record import Outcome

Fit = Literal["pass", "fail", "cannot be assessed", "does not apply"]


class Actuation(Struct, frozen=True):
    """Where one point really acts, from its device's geometry and the liquid. Heights above the tank's datum. [m]

    `fixing` is what the fitter sets: the rod's tip, the cable's fixing, the contact on the tube, the lever's pivot.
    It is given (`is_set`), or follows from the height that stands. `difference` is where it acts less the height that
    stands; `shift` what the liquid's span of density moves it, None where density does not count.
    """

    tag: str
    family: str
    fixing: Outcome
    fixing_word: str
    is_set: bool
    rise: Outcome
    fall: Outcome
    differential: Outcome
    acts: Outcome
    difference: Outcome
    shift: Outcome | None
    below_face: Outcome | None
    """Distance from the mounting face down to the fixing; None for a device in the wall."""
    cut: Outcome | None = None
    """Whole length to cut, with what the head takes up; None where nothing is cut."""
    notes: tuple[str, ...] = ()
    cable: Outcome | None = None
    """For a float that hangs and turns: cable below the face, the free cable counted."""


class Fitting(Struct, frozen=True):
    """What a fitter needs for a whole body beside its points. Distances below the mounting face. [m]"""

    tag: str
    face: Outcome
    points: tuple[str, ...]
    """Points of the body, shortest first."""
    weight: Outcome | None = None
    """Height of the counterweight above the tank's datum."""
    weight_below_face: Outcome | None = None
    weight_room: Outcome | None = None
    """What is left between the counterweight and the lowest float, tilted to where it lets go or acts on a falling level."""
    reference: Outcome | None = None
    """Length of the reference electrode below the face."""
    reference_cut: Outcome | None = None
    spacers: tuple[Outcome, ...] = ()
    """Spacers below the face, from the top."""
    swing: Outcome | None = None
    """Free radius that the device needs."""
    room: Outcome | None = None
    """Recorded clearance less the swing."""


class Judgement(Struct, frozen=True):
    """One criterion on one device: the outcome and its reason.

    `evidence` is the short text that a waiver accepts; `missing` the fields that would decide it, as `tag: field`.
    """

    of: str
    title: str
    verdict: Fit
    why: str
    evidence: str = ""
    missing: tuple[str, ...] = ()
    basis: str = ""


class Alternative(Struct, frozen=True):
    """Another technology that nothing recorded speaks against, and what it would need."""

    technology: str
    needs: tuple[str, ...]


class Suitability(Struct, frozen=True):
    """Everything that one device is judged by. `verdict` is the worst: fail, cannot be assessed, pass."""

    tag: str
    technology: str
    verdict: Fit
    judgements: tuple[Judgement, ...]
    alternatives: tuple[Alternative, ...]

    def of(self, *names: str) -> tuple[Judgement, ...]:
        """The judgements under some criteria."""
        return tuple(one for one in self.judgements if one.of in names)
