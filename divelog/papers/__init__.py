"""What leaves the program on paper or as files: sheets, papers, exports, and what instruments bring in."""
