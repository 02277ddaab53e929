"""The Textual application: screens, and the look they are drawn in."""
