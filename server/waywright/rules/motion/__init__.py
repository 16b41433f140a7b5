"""Rules that read what a run costs, one file a rule."""
