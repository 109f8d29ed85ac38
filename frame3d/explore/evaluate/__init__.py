"""One evaluator in stages: from values of a study to what is measured, missed and rejected."""
