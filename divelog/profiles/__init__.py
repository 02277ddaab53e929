"""What is so: boat, kit, site, day and settings as frozen documents; TOML read with line-numbered faults, and written."""
