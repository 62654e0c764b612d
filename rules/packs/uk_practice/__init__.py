"""What is usual around timber components in the United Kingdom: standard bracing, straps, bearings, notches and holes."""
