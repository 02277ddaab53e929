"""The pages: one file each, a pure drawing and its keys."""
