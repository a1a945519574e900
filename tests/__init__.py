"""`python3 tests` runs everything; `python3 tests -k drawing` hands its options on to pytest."""
