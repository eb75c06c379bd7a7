"""The brief: pictures and one offline page, all from one Plan. It lays out; it computes nothing."""
