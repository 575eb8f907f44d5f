"""What a ferment gives off: heat that warms the must, and carbon dioxide that fills the room."""

from . import gas, heat

__all__ = ["gas", "heat"]
