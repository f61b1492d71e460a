"""
Constants of the knock and cycle calculation.

They belong together: the octane exponent and the knock criterion were fitted with all the others held as they
stand, so none of them may be changed alone.
"""

import numpy as np

# Working gas. From memory (Heywood, Internal Combustion Engine Fundamentals, 1988).
COMPRESSION_EXPONENT = 1.33  # compression of the charge, and the unburned gas throughout
BURN_EXPONENT = 1.30  # burning and expansion
GAS_CONSTANT = 287.0  # J/(kg K), air

# Burned fraction 1 - exp(-a y**(m + 1)), a and m from memory (Heywood, 1988).
WIEBE_EFFICIENCY = 5.0
WIEBE_FORM = 2.0

# Heat of the charge. From memory: typical petrol and common assumptions of single-zone cycles.
RESIDUAL_SHARE = 0.05
STOICHIOMETRIC_RATIO = 14.6
HEATING_VALUE = 44.0e6  # J/kg
COMBUSTION_EFFICIENCY = 0.98
HEAT_LOSS_SHARE = 0.15

# Ignition delay of the end gas. Douaud & Eyzat, SAE 780080, 1978: citation published, constants from memory.
DELAY_FACTOR = 17.68e-3  # s
DELAY_OCTANE_EXPONENT = 3.402
DELAY_PRESSURE_EXPONENT = 1.7
DELAY_TEMPERATURE = 3800.0  # K
DELAY_PRESSURE_UNIT = 101325.0  # Pa; the correlation counts pressure in atmospheres

# Knock after this burned fraction does no harm. From memory: usual practice 0.85 to 0.95.
KNOCK_CUT = 0.90

# Octane requirement, both computed: the exponent from the slopes published by Russ, SAE 960497, 1996; the
# criterion, own choice, so that engines that were sold run on the fuel they were sold for.
OCTANE_EXPONENT = 5.2
KNOCK_CRITERION = 1.15

# The time integral alone is too kind to fast engines. Own rule.
DAMPING_SPEED = 2500.0 * np.pi / 30.0  # rad/s
DAMPING_EXPONENT = 0.5

# Phasing, as the angle of 50 % burned. Best torque at 8 to 10 degrees after top dead centre: from memory.
BEST_TORQUE_PHASING = np.radians(8.0)
LATEST_PHASING = np.radians(60.0)  # own choice: later than this no engine is run under load
