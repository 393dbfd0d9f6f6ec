"""Write-ups made by hand as an examiner would who distrusts machines, each with the fair outcome beside it."""
