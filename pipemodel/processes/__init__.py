"""Child processes: started apart from the current folder, bounded, and gone when their parent is gone."""
