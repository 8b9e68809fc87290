"""Pages of clips and questions: filming, the desk's queue and reviews, the client's own, and the files."""
