"""Pictures as SVG, made on the server: the same on screen, on paper and in the PDF."""
