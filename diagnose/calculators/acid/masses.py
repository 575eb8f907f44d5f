"""Molar masses in g/mol and the mass that carries one mole of acid, in g/eq.

Source: IUPAC conventional atomic weights (C 12.011, H 1.008, O 15.999, S 32.06, K 39.0983, Ca 40.078, and
the others as they stand below), from memory.
"""

from __future__ import annotations

_C, _H, _N, _O = 12.011, 1.008, 14.007, 15.999
_NA, _MG, _S, _CL, _K, _CA = 22.990, 24.305, 32.06, 35.45, 39.0983, 40.078

TARTARIC = 4 * _C + 6 * _H + 6 * _O
MALIC = 4 * _C + 6 * _H + 5 * _O
CITRIC = 6 * _C + 8 * _H + 7 * _O
LACTIC = 3 * _C + 6 * _H + 3 * _O
ACETIC = 2 * _C + 4 * _H + 2 * _O
SUCCINIC = 4 * _C + 6 * _H + 4 * _O
SULFURIC = 2 * _H + _S + 4 * _O

BITARTRATE = TARTARIC - _H + _K
CALCIUM_CARBONATE = _CA + _C + 3 * _O
POTASSIUM_BICARBONATE = _K + _H + _C + 3 * _O
POTASSIUM_CARBONATE = 2 * _K + _C + 3 * _O

POTASSIUM, SODIUM, CALCIUM, MAGNESIUM, AMMONIUM = _K, _NA, _CA, _MG, _N + 4 * _H
CHLORIDE, SULFATE = _CL, _S + 4 * _O

TARTARIC_PER_EQ = TARTARIC / 2
MALIC_PER_EQ = MALIC / 2
CITRIC_PER_EQ = CITRIC / 3
SULFURIC_PER_EQ = SULFURIC / 2
LACTIC_PER_EQ = LACTIC
ACETIC_PER_EQ = ACETIC
