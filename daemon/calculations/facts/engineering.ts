import { sources } from '../sources.js'
import { constant, table, type Fact } from './fact.js'

const { fao589, timmons, ebeling, rusten, srac462, arkansas, ep406, khater, snyder, usgs2011 } = sources
const boyd = 'Boyd, C.E., Oxygen demand of aquaculture feed, Responsible Seafood Advocate'
const guerdat =
  'Guerdat, T.C. et al. (2010) An evaluation of commercially available biological filters, Aquacultural Engineering'
const leaks = 'ASABE EP406 / NRAES-33 table of natural air exchange'
const bartok = 'Bartok, J.W., Determining greenhouse heat loss'

const water: readonly Fact[] = [
  constant(
    'oxygen_mass_per_volume_gas',
    [1.42905, 'mg/mL'],
    [usgs2011, 'real gas at 0 degC and 1 atm; replaces 1.4276'],
  ),
  ...table(
    'chloride_to_nitrite_ratio_min',
    '1',
    ['species', { 'channel catfish': 10 }],
    [srac462, 'more where fish are diseased'],
  ),
  ...table(
    'chloride_insurance',
    'mg/L',
    ['species', { 'channel catfish': 100 }],
    [srac462, 'producers keep at least 100 ppm'],
  ),
  constant('oxygen_per_feed', [1.25, 'kg/kg'], [boyd, 'whole pond: fish, decomposition, nitrification']),
  constant('oxygen_per_carbon', [2.67, 'g/g'], [boyd, 'oxidation of organic carbon, 32/12']),
  constant(
    'oxygen_per_feed_fish_only',
    [0.25, 'kg/kg'],
    [timmons, 'minimum design value, fish alone; 0.5 and more with bacteria; from memory'],
  ),
  constant(
    'fish_oxygen_consumption_measured_low',
    [12.04, 'g/(m3.h)'],
    [khater, 'abstract, measured range over the trial'],
  ),
]

const filters: readonly Fact[] = [
  constant(
    'biofilter_areal_rate_design',
    [0.57, 'g/(m2.d)'],
    [fao589, 'Appendix 4, conservative design value, as NH3'],
  ),
  constant('biofilter_areal_rate_low', [0.2, 'g/(m2.d)'], [fao589, 'Appendix 4, lower end of range']),
  constant(
    'biofilter_areal_rate_high',
    [2, 'g/(m2.d)'],
    [fao589, 'Appendix 4, upper end of range, from memory'],
  ),
  ...table(
    'media_specific_surface',
    'm2/m3',
    [
      'medium',
      { 'plastic biofilter balls': 600, sand: 5000, 'expanded clay, high': 250, 'volcanic gravel': 300 },
    ],
    [fao589, 'Appendix 4, media table'],
  ),
  ...table(
    'media_specific_surface',
    'm2/m3',
    ['medium', { 'expanded clay, low': 200, 'limestone gravel': 150 }],
    [fao589, 'Appendix 4, media table, from memory'],
  ),
  ...table(
    'media_specific_surface',
    'm2/m3',
    ['medium', { 'extruded moving-bed plastic, 9.1 x 7.2 mm, bulk': 500 }],
    [rusten, 'media table'],
  ),
  constant(
    'oxygen_per_g_N_with_synthesis',
    [4.18, 'g/g'],
    [ebeling, 'autotrophic stoichiometry with biomass, from memory'],
  ),
  constant(
    'alkalinity_per_g_N_with_synthesis',
    [7.05, 'g/g'],
    [ebeling, 'autotrophic stoichiometry with biomass, from memory'],
  ),
  constant('co2_per_g_N', [5.85, 'g/g'], [ebeling, 'autotrophic stoichiometry, from memory']),
  constant(
    'nitrifier_biomass_per_100mg_N',
    [17, 'mg'],
    ['Gujer & Jenkins (1974), quoted in a US EPA nitrogen-control manual', 'eq. 3.10'],
  ),
  constant(
    'alkalinity_per_g_N_attached_low',
    [6.3, 'g/g'],
    ['US EPA (1975) Process Design Manual for Nitrogen Control', 'measured in attached growth'],
  ),
  constant(
    'alkalinity_per_g_N_attached_high',
    [7.4, 'g/g'],
    ['US EPA (1975) Process Design Manual for Nitrogen Control', 'measured in attached growth'],
  ),
  constant(
    'nitrification_theta',
    [1.09, '1'],
    [rusten, 'temperature correction, citing Rusten et al. 1995a'],
  ),
  constant('nitrification_order', [0.7, '1'], [rusten, 'rN = k SN^n (Hem et al. 1994)']),
  {
    quantity: 'nitrification_max_design',
    value: 1,
    unit: 'g/(m2.d)',
    of: {
      temperature: { value: 15, unit: 'degC' },
      dissolved_oxygen: { value: 5, unit: 'mg/L' },
      organic_load: { value: 1, unit: 'g/(m2.d) BOD5' },
    },
    source: rusten,
    where: 'Fig. 3, from Hem et al. 1994',
  },
  {
    quantity: 'nitrification_observed_trout',
    value: 0.3,
    unit: 'g/(m2.d)',
    of: { temperature: { value: 9, unit: 'degC' }, load: { value: 0.45, unit: 'g/(m2.d)' } },
    source: rusten,
    where: 'trout and char plant, maximum',
  },
  {
    quantity: 'nitrification_ph_ratio',
    value: 0.5,
    unit: '1',
    of: { pH_low: { value: 6.7, unit: '1' }, pH_high: { value: 7.3, unit: '1' } },
    source: rusten,
    where: 'rate at pH 6.7 about half of that at 7.3',
  },
  constant('moving_bed_max_fill', [70, '%'], [rusten, 'recommended filling fraction']),
  ...table(
    'volumetric_tan_conversion',
    'g/(m3.d)',
    ['filter', { 'moving bed': 267, 'fluidised sand': 667 }],
    [guerdat, 'mean, commercial tilapia system (standard deviations 123 and 344)'],
  ),
  ...table(
    'volumetric_tan_conversion',
    'g/(m3.d)',
    ['filter', { 'floating bead': 586 }],
    [guerdat, 'mean (standard deviation 284), from memory'],
  ),
  constant(
    'nitrifier_temperature_min',
    [17, 'degC'],
    [fao589, 'productivity falls below 17 degC; Table 3.1 prints 14'],
  ),
]

const plants: readonly Fact[] = [
  ...table(
    'feed_rate_ratio_low',
    'g/(m2.d)',
    ['system', { raft: 60 }],
    [sources.rakocy2007, 'optimum 60-100'],
  ),
  ...table(
    'feed_rate_ratio_high',
    'g/(m2.d)',
    ['system', { raft: 100 }],
    [sources.srac454, 'optimum 60-100'],
  ),
  ...table(
    'feed_rate_ratio_low',
    'g/(m2.d)',
    ['crop', { leafy: 40, fruiting: 50 }],
    [fao589, 'p. 17, feed of 32 % protein'],
  ),
  ...table(
    'feed_rate_ratio_high',
    'g/(m2.d)',
    ['crop', { leafy: 50, fruiting: 80 }],
    [fao589, 'p. 17, feed of 32 % protein (80 from memory)'],
  ),
  ...table(
    'feed_rate_ratio_low',
    'g/(m2.d)',
    ['crop', { 'water spinach, african catfish': 15 }],
    ['Endut et al. (2010), reported in Goddek et al. (eds) 2019', '15-42'],
  ),
  ...table(
    'feed_rate_ratio_high',
    'g/(m2.d)',
    ['crop', { 'water spinach, african catfish': 42 }],
    ['Endut et al. (2010), reported in Goddek et al. (eds) 2019', '15-42'],
  ),
  ...table(
    'feed_rate_ratio',
    'g/(m2.d)',
    ['crop', { 'lettuce, raft': 57 }],
    ['Rakocy (2012) in Tidwell (ed.) Aquaculture Production Systems', '57 g a day and m2 of lettuce'],
  ),
  ...table(
    'plant_density_high',
    '1/m2',
    ['crop', { leafy: 25, fruiting: 8 }],
    [fao589, 'Figure 8.1 (8 from memory)'],
  ),
  ...table(
    'plant_density_low',
    '1/m2',
    ['crop', { leafy: 20, fruiting: 4 }],
    [fao589, 'Figure 8.1 (20 from memory)'],
  ),
]

const houses: readonly Fact[] = [
  ...table(
    'u_value_ip',
    'Btu/(h.ft2.degF)',
    [
      'cover',
      {
        'double-strength glass': 1.1,
        'insulated double glass': 0.7,
        'single polyethylene': 1.2,
        'double polyethylene': 0.7,
        'acrylic twin-wall 8 mm': 0.56,
      },
    ],
    [arkansas, 'glazing table'],
  ),
  ...table(
    'u_value_ip',
    'Btu/(h.ft2.degF)',
    ['cover', { 'single glass, polyethylene or polycarbonate': 1.15 }],
    [bartok, 'about 1.15'],
  ),
  ...table(
    'u_value_ip',
    'Btu/(h.ft2.degF)',
    ['cover', { 'single glass (EP406)': 1.13, 'double-wall polycarbonate 8 mm (EP406)': 0.58 }],
    [ep406, 'glazing U-values'],
  ),
  constant(
    'infiltration_factor_ip',
    [0.02, 'Btu/(ft3.degF)'],
    [
      'Aldrich, R.A. & Bartok, J.W., Greenhouse Engineering, NRAES-33',
      'Qi = 0.02 x volume x exchanges x dT, from memory',
    ],
  ),
  ...table(
    'air_change_rate_low',
    '1/h',
    [
      'house',
      {
        'new glass or fibreglass': 0.75,
        'new double polyethylene': 0.5,
        'old glass, good maintenance': 1,
        'old glass, poor maintenance': 2,
      },
    ],
    [leaks, 'from memory'],
  ),
  ...table(
    'air_change_rate_high',
    '1/h',
    [
      'house',
      {
        'new glass or fibreglass': 1.5,
        'new double polyethylene': 1,
        'old glass, good maintenance': 2,
        'old glass, poor maintenance': 4,
      },
    ],
    [leaks, 'from memory'],
  ),
  constant(
    'summer_ventilation_ip',
    [8, 'cfm/ft2'],
    ['National Greenhouse Manufacturers Association design standards', 'per ft2 of floor'],
  ),
  constant('latent_heat_vaporisation_0C', [2.501, 'MJ/kg'], [snyder, 'p. 79: about 2.501e6 J/kg at 0 degC']),
]

/** Figures of filters, plants and houses that publications state. */
export const engineeringFacts: readonly Fact[] = [...water, ...filters, ...plants, ...houses]
