"""Drawings of what is laid and cut: boards, mat, trims."""
