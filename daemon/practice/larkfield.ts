/** The invented farm Larkfield in figures. Sizes are ours; what nature does with them is in the other files. */

export const tankIds = ['tank-1', 'tank-2', 'tank-3'] as const
export type TankId = (typeof tankIds)[number]
export const bedIds = ['bed-1', 'bed-2'] as const
export type BedId = (typeof bedIds)[number]
export const waterIds = [...tankIds, 'sump', 'biofilter', ...bedIds] as const
export type WaterId = (typeof waterIds)[number]
/** Basins that the pump fills and that run over at their rims. */
export const overflowingIds = [...tankIds, ...bedIds] as const
export const blowerIds = ['blower-a', 'blower-b'] as const
export type BlowerId = (typeof blowerIds)[number]
export const machineIds = [...blowerIds, 'main-pump', 'heater'] as const
export type MachineId = (typeof machineIds)[number]

export interface BasinFigures {
  /** m3 when the loop runs */
  readonly volume: number
  /** m2 of water */
  readonly area: number
  /** Share of the surface that is open to the air; the rest lies under lids or rafts. */
  readonly open: number
  /** W/K between water and house air, walls and surface together; 10 to 25 W/(m2.K) of open surface, common practice */
  readonly heatConductance: number
  /** 1/h at 20 degrees through the resting surface; 0.1 to 0.5 for basins a metre deep, common practice */
  readonly surfaceTransfer: number
  /** Share of what the main pump lifts; the biofilter and the sump get theirs by overflow. */
  readonly flowShare: number
}

export interface TankFigures extends BasinFigures {
  readonly blower: BlowerId
  /** 1/h at 20 degrees, air stones of this tank at full air */
  readonly airTransfer: number
  readonly fishCount: number
  /** g each */
  readonly fishMass: number
  /** g a day for all of them: 2 to 2.5 % of their mass, common practice for this size */
  readonly feedPerDay: number
}

// prettier-ignore
export const tanks: Readonly<Record<TankId, TankFigures>> = {
  'tank-1': {
    volume: 1.9, area: 1.9, open: 0.5, heatConductance: 25, surfaceTransfer: 0.1, flowShare: 0.26,
    blower: 'blower-a', airTransfer: 7, fishCount: 160, fishMass: 240, feedPerDay: 900,
  },
  'tank-2': {
    volume: 1.9, area: 1.9, open: 0.5, heatConductance: 25, surfaceTransfer: 0.1, flowShare: 0.26,
    blower: 'blower-a', airTransfer: 7, fishCount: 150, fishMass: 300, feedPerDay: 1000,
  },
  'tank-3': {
    volume: 2.4, area: 2.4, open: 0.5, heatConductance: 30, surfaceTransfer: 0.1, flowShare: 0.3,
    blower: 'blower-b', airTransfer: 7, fishCount: 190, fishMass: 320, feedPerDay: 1300,
  },
}

const bed: BasinFigures = {
  volume: 5,
  area: 20,
  open: 0.05,
  heatConductance: 40,
  surfaceTransfer: 0.4,
  flowShare: 0.09,
}

export const basins: Readonly<Record<WaterId, BasinFigures>> = {
  ...tanks,
  sump: { volume: 1.2, area: 2, open: 0.3, heatConductance: 20, surfaceTransfer: 0.5, flowShare: 0 },
  biofilter: { volume: 0.4, area: 0.5, open: 0.5, heatConductance: 10, surfaceTransfer: 0.3, flowShare: 0 },
  'bed-1': bed,
  'bed-2': bed,
}

/** cm of water in a basin */
export const depthOf = (id: WaterId, volume: number): number => (100 * volume) / basins[id].area

/** Minutes since local midnight, and how long the feeders take. Two meals by daylight, common practice. */
export const meals = { at: [8 * 60, 17 * 60], minutes: 10, protein: 0.36 } as const

export const loop = {
  /** L/min of the main pump */
  flow: 90,
  /** Below this depth of the sump (cm) the pump draws air. */
  pumpDryBelow: 12,
  /** The float valve opens below, closes above (cm of the sump), and then lets in so much (L/min) of that quality. */
  topUp: {
    opensBelow: 58,
    closesAbove: 60,
    flow: 6,
    temperature: 12,
    oxygen: 9,
    alkalinity: 120,
    carbonDioxide: 4,
  },
} as const

export const biofilterFigures = {
  /** m2: 400 L of plastic media with 500 m2/m3 (Rusten et al. 2006, media table) */
  mediaArea: 200,
  /** 1/h at 20 degrees while water trickles at full flow; a trickling filter is a good aerator, common practice */
  trickleTransfer: 25,
} as const

export const houseFigures = {
  /** W/K: 310 m2 of double polyethylene, 4.0 W/(m2.K) (University of Arkansas, greenhouse management, Unit 3) */
  envelopeConductance: 1240,
  /** m3 */
  volume: 640,
  /** 1/h with everything shut; new double polyethylene leaks 0.5 to 1 (NRAES-33 table, ASABE EP406) */
  airChanges: 1,
  /** kJ/K of air, benches, crop and the skin of the floor, which follow the air within the hour; common practice */
  heatCapacity: 8000,
  /** m2 of floor that the sun reaches */
  floor: 180,
  /** Share of the sunshine that ends as warm air: 0.7 passes the cover, half of that goes into vapour; common practice */
  sunShare: 0.35,
  /** Vents begin to open and are wide open (degrees), and what they then exchange (1/h). */
  vents: { from: 24, until: 28, airChanges: 30 },
  /** Air is heated to this; the water by a coil in the sump. W at the most. */
  heater: { airSetPoint: 14, hysteresis: 0.7, airPower: 24_000, waterSetPoint: 27, waterPower: 6000 },
} as const

export const batteryFigures = {
  /** Wh usable, W drawn by the watch and the probes, W of the charger */
  capacity: 240,
  load: 45,
  charger: 60,
} as const

export interface Site {
  /** Degrees north, degrees east. */
  readonly latitude: number
  readonly longitude: number
  /** m above the sea */
  readonly altitude: number
  /** IANA name; meals follow the clock on the wall. */
  readonly timeZone: string
}

export const larkfieldSite: Site = {
  latitude: 52.6,
  longitude: -1.1,
  altitude: 80,
  timeZone: 'Europe/London',
}
