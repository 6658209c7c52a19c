"""What does she type about her cloth? Forms that read it and refuse with a sentence at the field."""
