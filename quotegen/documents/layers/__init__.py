"""Drawings of boards, mat and trims as laid and cut."""
