"""The job as frozen records: what stands, hangs and runs at one pole location.

Nothing here measures or decides; placed geometry, findings, drawings and lists are functions
of these records that live in other rooms. Lengths are float inches, azimuths degrees clockwise
from north, voltages kV, tensions lbf, temperatures degrees F.
"""
