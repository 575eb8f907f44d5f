"""The weighing put to pyAgrum, a library of Bayesian networks, and worked out there without approximation."""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from itertools import product

with warnings.catch_warnings():
    # Its wrapper is deprecated in Python 3.11 and later, and turned into an error that ends the process.
    warnings.simplefilter("ignore")
    import pyagrum as gum

from written_weighing import MOST_AT_WORK, WrittenFinding


def chances(priors: Mapping[str, float], findings: Sequence[WrittenFinding]) -> dict[str, float]:
    """The chance of each cause once the findings are made and one to three causes are at work."""
    return chances_of_topics({"one topic": priors}, findings)


def chances_of_topics(
    priors: Mapping[str, Mapping[str, float]], findings: Sequence[WrittenFinding]
) -> dict[str, float]:
    """The chance of each cause once the findings are made and one to three causes of each topic are at work.

    No two topics may have a cause of the same name.
    """
    network = gum.BayesNet()
    causes = {cause: prior for topic in priors.values() for cause, prior in topic.items()}
    for cause, prior in causes.items():
        _node(network, cause)
        network.cpt(cause).fillWith([1 - prior, prior])
    enough = {topic: f"one to three at work: {topic}" for topic in priors}
    for topic, name in enough.items():
        _enough(network, name, [*priors[topic]])
    for finding in findings:
        _finding(network, finding)
    inference = gum.LazyPropagation(network)
    made = [*enough.values(), *(finding.name for finding in findings)]
    inference.setEvidence(dict.fromkeys(made, 1))
    inference.makeInference()
    return {cause: float(inference.posterior(cause)[1]) for cause in causes}


def _node(network: gum.BayesNet, name: str) -> None:
    network.add(gum.LabelizedVariable(name, name, 2))


def _enough(network: gum.BayesNet, name: str, causes: Sequence[str]) -> None:
    _node(network, name)
    for cause in causes:
        network.addArc(cause, name)
    table = []
    # The order of the causes makes no difference to how many are at work; the node itself changes fastest.
    for state in product((0, 1), repeat=len(causes)):
        fits = float(1 <= sum(state) <= MOST_AT_WORK)
        table += [1 - fits, fits]
    network.cpt(name).fillWith(table)


def _finding(network: gum.BayesNet, finding: WrittenFinding) -> None:
    """The library's own noisy-OR: of the causes that bring a finding, and of those that keep it away."""
    if not finding.taken_by:
        _noisy_or(network, finding.name, finding.sound, finding.brought_by)
        return
    away = f"{finding.name} kept away"
    kept = {cause: 1 - chance for cause, chance in finding.taken_by.items()}
    _noisy_or(network, away, 1 - finding.sound, kept)
    if not finding.brought_by:
        _from(network, finding.name, {away: 0})
        return
    brought = f"{finding.name} brought"
    _noisy_or(network, brought, finding.sound, finding.brought_by)
    # A finding of nothing listens to causes that keep it away first, a positive one to those that bring it.
    first = finding.taken_by if finding.nothing else finding.brought_by
    heard = f"{finding.name} heard first"
    network.addOR(gum.LabelizedVariable(heard, heard, 2))
    for cause in first:
        network.addArc(cause, heard)
    _node(network, finding.name)
    for parent in (heard, away, brought):
        network.addArc(parent, finding.name)
    for is_first, is_away, is_brought in product((0, 1), repeat=3):
        met = 1 - is_away if bool(is_first) == finding.nothing else is_brought
        state = {heard: is_first, away: is_away, brought: is_brought}
        network.cpt(finding.name)[state] = [1 - met, met]


def _noisy_or(network: gum.BayesNet, name: str, leak: float, alone: Mapping[str, float]) -> None:
    network.addNoisyORCompound(gum.LabelizedVariable(name, name, 2), leak)
    for cause, chance in alone.items():
        network.addWeightedArc(cause, name, chance)


def _from(network: gum.BayesNet, name: str, when: Mapping[str, int]) -> None:
    """A node that is met exactly when its one parent is in this state."""
    ((parent, wanted),) = when.items()
    _node(network, name)
    network.addArc(parent, name)
    for state in (0, 1):
        met = float(state == wanted)
        network.cpt(name)[{parent: state}] = [1 - met, met]


def chance_of(priors: Mapping[str, float], finding: WrittenFinding) -> float:
    """The chance that a finding is made, whatever the number of causes at work."""
    network = gum.BayesNet()
    for cause, prior in priors.items():
        _node(network, cause)
        network.cpt(cause).fillWith([1 - prior, prior])
    _finding(network, finding)
    inference = gum.LazyPropagation(network)
    inference.makeInference()
    return float(inference.posterior(finding.name)[1])
