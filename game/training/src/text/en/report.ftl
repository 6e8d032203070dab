# The report and the debrief. Ids start with `report-`.
