"""Accounts: who works here, and the tokens that let them in."""
