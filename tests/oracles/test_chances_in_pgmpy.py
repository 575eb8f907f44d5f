"""The chances of causes once more in pgmpy, another library of Bayesian networks, by plain tables.

It is not among the packages every run of the tests needs: with what it draws in (pandas, statsmodels, scikit-learn,
a client for a hub of models) it takes some 290 MB more than the tests have anyway. `pip install -e '.[oracles]'`
brings it, and this file is then run with the others.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

import pytest
from diagnose.reasoning.weigh import FindingRows, weigh
from hypothesis import given, settings
from random_findings import weighings
from second_opinions import CASES_IN_PGMPY, CAUSES_IN_PGMPY, RANDOM_IN_PGMPY, TOPICS
from written_weighing import MOST_AT_WORK, WrittenFinding, written_findings

with warnings.catch_warnings():
    # It warns of its own old modules while it loads.
    warnings.simplefilter("ignore")
    pytest.importorskip("pgmpy", reason="needs the extra `oracles`: pgmpy is large")
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination
    from pgmpy.models import DiscreteBayesianNetwork

ENOUGH = "one to three at work"


@pytest.mark.filterwarnings("ignore:::pgmpy.*")
@settings(max_examples=RANDOM_IN_PGMPY)
@given(weighings())
def test_random_weighings(made: tuple[dict[str, float], list[FindingRows]]) -> None:
    """Whatever speaks for or against whatever: our chances are the exact ones, to nine places."""
    before, found = made
    ours = weigh(before, found).chances
    assert chances(before, written_findings(found)) == pytest.approx(ours, abs=1e-9)


@pytest.mark.filterwarnings("ignore:::pgmpy.*")
@pytest.mark.parametrize("topic", TOPICS)
def test_worked_cases(shipped: Any, topic: str) -> None:
    """The first worked cases of each topic, on their leading causes."""
    for facts in [*shipped.cases[topic].values()][:CASES_IN_PGMPY]:
        before, found = shipped.leading(topic, facts, CAUSES_IN_PGMPY)
        ours = weigh(before, found).chances
        assert chances(before, written_findings(found)) == pytest.approx(ours, abs=1e-9)


def chances(priors: Mapping[str, float], findings: Sequence[WrittenFinding]) -> dict[str, float]:
    """The chance of each cause once the findings are made and one to three causes are at work."""
    network = DiscreteBayesianNetwork()
    network.add_nodes_from([*priors, ENOUGH, *(finding.name for finding in findings)])
    for cause, prior in priors.items():
        network.add_cpds(TabularCPD(cause, 2, [[1 - prior], [prior]]))
    causes = sorted(priors)
    counted = [float(1 <= sum(state) <= MOST_AT_WORK) for state in product((0, 1), repeat=len(causes))]
    _table(network, ENOUGH, causes, counted)
    for finding in findings:
        _table(network, finding.name, finding.causes, [chance for _, chance in finding.table()])
    made = {ENOUGH: 1, **{finding.name: 1 for finding in findings}}
    inference = VariableElimination(network)
    return {
        cause: float(inference.query([cause], evidence=made, show_progress=False).values[1])
        for cause in priors
    }


def _table(network: DiscreteBayesianNetwork, name: str, parents: Sequence[str], met: Sequence[float]) -> None:
    network.add_edges_from([(parent, name) for parent in parents])
    table = [[1 - chance for chance in met], [*met]]
    network.add_cpds(TabularCPD(name, 2, table, evidence=[*parents], evidence_card=[2] * len(parents)))
