"""Units and their text forms, tolerances, errors, and tables of materials, drills and paper with their sources."""
