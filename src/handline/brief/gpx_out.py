GPX_NAME="plan.gpx"
def gpx_of(plan): return b""
