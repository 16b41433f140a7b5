"""Rules that need the trace alone: one file a rule, found by itself."""
