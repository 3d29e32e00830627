"""Units at the edges, bands, findings, words; imports nothing of ours."""
