"""Checklists: lists as models, the lines that apply to a boat, and the walk through them."""
