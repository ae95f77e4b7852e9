"""Stage 6, render: documents to Markdown and pictures; every text passes through `escape`."""
