"""What people write down and how it is shown: lengths, angles, teeth, dials, instruments."""
