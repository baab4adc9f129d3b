"""Speed as ratios against a floor taken in the same run; `python -m tests.benchmarks`."""
