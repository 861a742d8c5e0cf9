"""The trade's computations: pure functions, quantities in and quantities out."""
