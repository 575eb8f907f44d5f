"""The heat test: what heating did to the clarity of a wine."""

from __future__ import annotations

from .amounts import TurbidityUnits, within
from .registry import calculator

NOISE_NTU = 0.5
"""A fall this small says nothing: it is the strictest published limit for a rise (AWRI, heat stability)."""


@calculator("turbidity_rise", result="rise in turbidity on heating", formula="heated_ntu - unheated_ntu")
def turbidity_rise(
    heated_ntu: TurbidityUnits, unheated_ntu: TurbidityUnits, noise_ntu: TurbidityUnits = NOISE_NTU
) -> TurbidityUnits:
    """Turbidity of the heated sample less that of its unheated twin, in NTU.

    Range: both readings at least 0; the heated one no more than `noise_ntu` clearer than its twin. A small
    fall is returned as it is. Raises `OutOfRange`. Source: AWRI, Measurement of heat stability of wine
    (heated sample against an unheated control of the same wine).
    """
    within("heated reading", heated_ntu, "NTU", at_least=0, mend="Set the meter to zero and read again.")
    within("unheated reading", unheated_ntu, "NTU", at_least=0, mend="Set the meter to zero and read again.")
    within("allowed noise", noise_ntu, "NTU", at_least=0, mend="Give 0 to allow none.")
    within(
        "rise on heating",
        heated_ntu - unheated_ntu,
        "NTU",
        at_least=-noise_ntu,
        mend="Heating does not clear a wine: see whether the two samples were swapped, then read both again.",
    )
    return heated_ntu - unheated_ntu
