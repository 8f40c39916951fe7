"""Proof: what has been tried and shown by a person, on the bench and on the wall."""
