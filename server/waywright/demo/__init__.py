"""The bundled demo: programs of a job shop that never was, which turns hydraulic fittings."""
