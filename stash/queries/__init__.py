"""What the stash's pages and the plans read: frozen rows, never a lazy graph."""
