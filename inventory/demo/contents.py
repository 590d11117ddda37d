"""What is in the demo shop: a 1964 Halvard 20 van on its way to a mobile bakery. All makes are invented.

Each line of a list is: name | other names | part number | quantity | condition | origin | note
An empty field takes the default of its list. 'L/R' at the end of a name makes two parts, left and right.
"""

BODY = """
Front wing L/R | fender | 20-1104 | 1 | repairable | pulled | Rust along the lower edge
Cab door L/R | | 20-2101 | 1 | repairable | pulled |
Cab door skin L/R | | | 1 | pattern | pulled | Too thin to save; good to copy
Door check strap, right | door limiter | 20-2117-R | 1 | good | pulled |
Door hinge, upper L/R | | 20-2131 | 1 | good | pulled |
Door hinge, lower L/R | | 20-2132 | 1 | good | pulled |
Door striker plate L/R | | 20-2140 | 1 | good | found |
Rear door L/R | barn door | 20-2501 | 1 | good | found |
Rear door hinge L/R | | 20-2531 | 2 | good | found |
Hatch hinge L/R | serving hatch hinge | | 1 | good | made | Turned from 20 mm bar, 22 Nov
Hatch hinge, old L/R | | | 1 | pattern | pulled | Pin worn oval
Hatch seal | | | 6 | good | bought | 3 m lengths
Bonnet | hood | 20-1001 | 1 | repairable | pulled |
Bonnet catch | hood latch | 20-1010 | 1 | good | found |
Bonnet stay | hood prop | 20-1012 | 1 | good | found |
Front panel | nose | 20-1020 | 1 | repairable | found | Two old plates welded over the left corner
Grille | | 20-1030 | 1 | good | pulled |
Wheel arch, inner L/R | inner fender | 20-1140 | 1 | repairable | found |
Sill, outer L/R | rocker panel | 20-3101 | 1 | scrap | found | Kept for the profile
Sill, inner L/R | | 20-3102 | 1 | repairable | found |
Floor panel, cab L/R | | 20-3301 | 1 | pattern | found |
Floor crossmember | outrigger | 20-3310 | 4 | repairable | found |
Load floor board | | | 7 | scrap | found | Numbered from the bulkhead back
Bulkhead panel | firewall | 20-3401 | 1 | good | found |
Roof bow | roof rib | 20-3501 | 5 | good | found |
Roof vent | | | 1 | good | pulled |
Gutter strip L/R | drip rail | 20-3520 | 1 | good | found |
Step, cab L/R | | 20-3610 | 1 | repairable | found |
Step tread plate L/R | | 20-3611 | 1 | good | made |
Bumper, front | | 20-1201 | 1 | good | pulled |
Bumper iron L/R | bumper bracket | 20-1210 | 2 | good | found |
Number plate bracket | license plate holder | 20-1250 | 1 | good | found |
Mirror arm L/R | | 20-2201 | 1 | good | found |
Mirror head | | | 2 | good | bought |
"""

GLASS = """
Windscreen | windshield | 20-4001 | 1 | good | pulled | Stands in the barn, not in the container
Windscreen rubber | windshield seal | 20-4010 | 1 | good | bought |
Quarter glass L/R | vent window | 20-4101 | 1 | good | pulled |
Quarter glass rubber L/R | | 20-4110 | 1 | good | bought |
Door glass L/R | | 20-4201 | 1 | good | pulled |
Window winder L/R | window crank | 20-4220 | 1 | good | found |
Window regulator L/R | window lift | 20-4221 | 1 | repairable | pulled | Teeth worn in the middle
Window channel felt | run channel | | 4 | good | bought | 1.2 m lengths
Wiper arm L/R | | 20-4301 | 1 | good | found |
Wiper blade | | | 2 | good | bought |
Wiper motor | | 20-4310 | 1 | good | pulled |
Wiper spindle L/R | | 20-4320 | 1 | repairable | found |
"""

TRIM = """
Seat frame L/R | | 20-5001 | 1 | good | found |
Seat runner L/R | seat rail | 20-5010 | 2 | good | found |
Door card L/R | door panel | | 1 | pattern | found |
Door pull L/R | inner handle | 20-5110 | 1 | good | found |
Door handle, outer L/R | | 20-2150 | 1 | good | pulled |
Lock barrel | | | 3 | good | found | One key fits two of them
Headliner, cab | | | 1 | pattern | found |
Sun visor L/R | | 20-5201 | 1 | good | pulled |
Rubber mat, cab | | 20-5301 | 1 | repairable | found |
Trim clip | | | 60 | good | bought |
Badge, Halvard 20 | emblem | | 2 | good | found |
"""

DRIVE = """
Gearbox | transmission | 20-7001 | 1 | good | pulled | Turns freely, second gear quiet
Gearbox mount | transmission mount | 20-7010 | 2 | good | bought |
Clutch plate | clutch disc | 20-7101 | 1 | good | bought |
Clutch cover | pressure plate | 20-7102 | 1 | good | pulled |
Release bearing | throw-out bearing | 20-7110 | 1 | good | bought |
Propshaft | drive shaft | 20-7201 | 1 | good | found |
Universal joint | | 20-7210 | 2 | good | bought |
Rear axle half shaft L/R | | 20-7301 | 1 | good | found |
Engine mount L/R | | 20-6010 | 1 | good | bought |
Exhaust manifold | | 20-6101 | 1 | repairable | found | Crack at the third port
Silencer | muffler | 20-6120 | 1 | scrap | found |
Down pipe | front pipe | 20-6110 | 1 | good | bought |
Carburettor | | 20-6201 | 1 | repairable | pulled |
Air filter housing | | 20-6210 | 1 | good | found |
Fuel pump | petrol pump | 20-6301 | 1 | good | pulled |
Fuel tank | petrol tank | 20-6310 | 1 | repairable | found | Drained, not yet made safe: no hot work
Fuel sender | tank unit | 20-6312 | 1 | good | found |
Throttle cable | | 20-6220 | 1 | good | bought |
"""

COOLING = """
Radiator | | 20-6401 | 1 | repairable | pulled |
Radiator cap | | | 1 | good | bought |
Radiator hose, top | | 20-6410 | 1 | good | bought |
Radiator hose, bottom | | 20-6411 | 1 | good | bought |
Water pump | coolant pump | 20-6420 | 1 | good | pulled |
Thermostat | | 20-6430 | 1 | good | bought |
Thermostat housing | | 20-6431 | 1 | good | found |
Fan belt | | | 2 | good | bought |
Fan | | 20-6440 | 1 | good | found |
Heater box | | 20-6501 | 1 | repairable | pulled |
Heater core | heater matrix | 20-6502 | 1 | repairable | pulled |
Heater hose | | | 3.5 | good | bought | metres
Hose clip 20-32 | hose clamp | | 14 | good | bought |
"""

BRAKES = """
Brake master cylinder | | 20-8001 | 1 | repairable | pulled |
Brake drum, front L/R | | 20-8101 | 1 | good | found |
Brake drum, rear L/R | | 20-8102 | 1 | good | found |
Wheel cylinder, front | slave cylinder | 20-8110 | 4 | good | bought |
Wheel cylinder, rear | slave cylinder | 20-8111 | 2 | good | bought |
Brake shoe set, front | | 20-8120 | 1 | good | bought |
Brake hose, front | | 20-8201 | 2 | good | bought |
Brake pipe 3/16 | brake line | | 7.6 | good | bought | metres
Handbrake lever | parking brake | 20-8301 | 1 | good | found |
Handbrake cable | | 20-8302 | 1 | repairable | found |
Brake pedal | | 20-8010 | 1 | good | found |
Steering box | | 20-8501 | 1 | good | pulled |
Steering wheel | | 20-8510 | 1 | repairable | found | Cracked at two spokes
Drop arm | pitman arm | 20-8502 | 1 | good | found |
Track rod end L/R | tie rod end | 20-8520 | 1 | good | bought |
Kingpin set | | 20-8601 | 1 | good | bought |
Spring shackle | | 20-8701 | 4 | repairable | found |
Leaf spring, rear L/R | | 20-8702 | 1 | good | found |
Shock absorber, front | damper | 20-8801 | 2 | good | bought |
Road wheel | rim | 20-8901 | 5 | good | found |
"""

ELECTRICS = """
Headlamp L/R | headlight | 20-9001 | 1 | good | pulled |
Headlamp rim | headlight ring | 20-9002 | 2 | good | found |
Side lamp L/R | | 20-9010 | 1 | good | found |
Indicator lamp, front L/R | turn signal | 20-9021 | 1 | good | pulled |
Rear lamp L/R | tail light | 20-9031 | 1 | repairable | found |
Number plate lamp | license plate light | 20-9035 | 1 | good | found |
Dynamo | generator | 20-9101 | 1 | good | pulled |
Voltage control box | regulator | 20-9110 | 1 | good | found |
Starter motor | | 20-9120 | 1 | good | pulled |
Ignition coil | | 20-9201 | 1 | good | bought |
Distributor | | 20-9210 | 1 | good | found |
Distributor cap | | 20-9211 | 1 | good | bought |
Spark plug | | | 8 | good | bought |
Ignition switch | | 20-9230 | 1 | good | found |
Fuse box | | 20-9301 | 1 | good | pulled |
Earth strap | ground strap | | 3 | good | bought |
Battery tray | | 20-9320 | 1 | scrap | found |
Speedometer | | 20-9401 | 1 | good | found |
Speedometer cable | | 20-9402 | 1 | good | bought |
Horn | | 20-9501 | 1 | good | pulled |
Wire 1.5 mm2, brown | cable | | 22 | good | bought | metres
Wire 1.5 mm2, black | cable | | 18.5 | good | bought | metres
Wire 2.5 mm2, red | cable | | 9 | good | bought | metres
Ring terminal 6 mm | | | 45 | good | bought |
"""

BAKERY = """
Oven bay frame rail | | | 4 | good | made |
Oven bay corner bracket | | | 6 | good | made |
Counter board, beech | worktop | | 2 | good | bought |
Gas strut | | | 0 | good | bought | On the list to order
Sink, steel | | | 1 | good | bought |
Tap, brass | faucet | | 1 | good | found |
Shelf bracket | | | 12 | good | bought |
Flour bin | | | 3 | good | found |
Extractor hood | | | 1 | good | made |
Hatch lamp | | | 2 | good | bought |
"""

SUPPLIES = """
Primer, zinc rich | | | 2.5 | good | bought | litres
Thinners | | | 4 | good | bought | litres
Welding wire 0.6 | MIG wire | | 3.2 | good | bought | kilograms
Seam sealer | | | 5 | good | bought |
Cutting disc 115 x 1 | | | 18 | good | bought |
Flap disc 115, 60 grit | | | 7 | good | bought |
Masking tape | | | 4 | good | bought |
Sheet steel 0.9 mm, off-cut | | | 6 | good | found |
Sheet steel 1.5 mm, off-cut | | | 3 | good | found |
Square tube 30 x 30 x 2 | box section | | 11.4 | good | bought | metres
Penetrating oil | | | 2 | good | bought |
Copper grease | anti-seize | | 1 | good | bought |
"""

# (list, where it goes, its order on the shelves)
AREAS = [
    ("body", BODY),
    ("glass", GLASS),
    ("trim", TRIM),
    ("drive", DRIVE),
    ("cooling", COOLING),
    ("brakes", BRAKES),
    ("electrics", ELECTRICS),
    ("bakery", BAKERY),
    ("supplies", SUPPLIES),
]

# Drawer cabinets: the thread sizes of a cabinet, its lengths, then nuts and washers.
METRIC = [
    (size, length)
    for size, lengths in [
        ("M5", (12, 16, 20)),
        ("M6", (12, 16, 20, 25, 30)),
        ("M8", (16, 20, 25, 30, 40, 50)),
        ("M10", (20, 25, 30, 40, 60)),
    ]
    for length in lengths
]
INCH = [
    (size, length)
    for size, lengths in [
        ("1/4-28 UNF", ("1/2", "3/4", "1")),
        ("5/16-24 UNF", ("3/4", "1", "1 1/4")),
        ("3/8-24 UNF", ("3/4", "1", "1 1/2")),
        ("7/16-20 UNF", ("1", "1 1/2")),
    ]
    for length in lengths
]
SMALL = [
    ("{} nut", ("M5", "M6", "M8", "M10", "1/4-28 UNF", "5/16-24 UNF", "3/8-24 UNF", "7/16-20 UNF")),
    ("{} washer", ("M5", "M6", "M8", "M10", "1/4", "5/16", "3/8", "7/16")),
]

# What is still on each donor and wanted: (donor, name, other names, quantity)
ON_DONORS = [
    ("D1", "Door check strap, left", "door limiter", 1),
    ("D1", "Brake pedal box", "pedal assembly", 1),
    ("D1", "Cab rear window rubber", "back light seal", 1),
    ("D1", "Seat base", "", 2),
    ("D1", "Tailgate chain", "", 2),
    ("D2", "Heater control panel", "", 1),
    ("D2", "Rear door lock", "", 1),
    ("D2", "Dash lamp holder", "", 6),
    ("D2", "Courtesy lamp", "interior light", 2),
]
