"""Side-by-side benchmarks against general-purpose solvers: `python -m bench`."""
