"""What pages and papers show as drawings (SVG): pieces, charts, the ladder of samples, bars of days, labels."""
