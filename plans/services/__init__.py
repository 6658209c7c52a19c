"""What changes a plan: each service takes keywords, keeps one transaction, and refuses in a sentence."""
