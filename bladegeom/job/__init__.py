"""Many knives from one design: sweeps over its parameters."""
