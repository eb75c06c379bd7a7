def tables_of(plan): return {}
