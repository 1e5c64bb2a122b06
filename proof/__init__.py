"""Large proofs, run by `make proof`; `make test` runs a fixed small sample of each."""
