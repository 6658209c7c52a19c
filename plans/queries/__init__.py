"""What the plans' pages read: a plan worked out by the engine, its cloth and sheets, what is left. Frozen rows, never a lazy graph."""
