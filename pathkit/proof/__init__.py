"""Proof: a posted file is read back and held against its program, by means that share nothing with posting."""
