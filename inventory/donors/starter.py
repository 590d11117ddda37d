"""What people look for on a donor, by area: a start for the list of what is wanted. Common practice, no source.

A name that ends in L/R stands for two things, left and right.
"""

AREAS: dict[str, tuple[str, ...]] = {
    "Body": (
        "Bonnet", "Bonnet catch", "Front wing L/R", "Cab door L/R", "Door hinge, upper L/R", "Door hinge, lower L/R",
        "Door check strap L/R", "Rear door L/R", "Tailgate", "Bumper, front", "Bumper, rear", "Grille", "Step, cab L/R",
    ),
    "Glass": (
        "Windscreen", "Windscreen rubber", "Quarter glass L/R", "Door glass L/R", "Rear window", "Mirror arm L/R",
        "Window regulator L/R", "Wiper motor",
    ),
    "Cab and trim": (
        "Seat frame L/R", "Seat runner L/R", "Door card L/R", "Door handle, outer L/R", "Lock barrel", "Sun visor L/R",
        "Dash panel", "Steering wheel", "Pedal box", "Heater box", "Badge",
    ),
    "Electrics": (
        "Headlamp L/R", "Indicator lamp, front L/R", "Rear lamp L/R", "Dynamo", "Starter motor", "Distributor",
        "Voltage control box", "Fuse box", "Ignition switch", "Horn", "Speedometer",
    ),
    "Engine and cooling": (
        "Engine", "Carburettor", "Fuel pump", "Radiator", "Water pump", "Thermostat housing", "Exhaust manifold",
        "Engine mount L/R",
    ),
    "Driveline": (
        "Gearbox", "Gearbox mount", "Clutch cover", "Propshaft", "Rear axle", "Half shaft L/R",
    ),
    "Brakes, steering and wheels": (
        "Brake master cylinder", "Brake drum, front L/R", "Brake drum, rear L/R", "Steering box", "Drop arm",
        "Leaf spring, front L/R", "Leaf spring, rear L/R", "Shock absorber L/R", "Road wheel", "Handbrake lever",
    ),
    "Fuel": ("Fuel tank", "Fuel sender", "Filler neck"),
}  # fmt: skip


def things(name: str) -> list[tuple[str, str]]:
    """(name, side) of each thing a line stands for."""
    if name.endswith(" L/R"):
        return [(name.removesuffix(" L/R"), side) for side in ("left", "right")]
    return [(name, "")]
