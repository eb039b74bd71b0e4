"""One drawing model in mm, and what each sheet shows."""
