"""Stage 7, publish: write the tree, run the site generator, judge and search what it made."""
