/** Publications that are cited more than once. */
export const sources = {
  bensonKrause:
    'Benson, B.B. & Krause, D. (1984) Limnology and Oceanography 29(3):620-632; as adopted by USGS Office of Water Quality Technical Memorandum 2011.03 and APHA Standard Methods 4500-O',
  usgs2011: 'USGS Office of Water Quality Technical Memorandum 2011.03',
  emerson:
    'Emerson, K., Russo, R.C., Lund, R.E. & Thurston, R.V. (1975) J. Fish. Res. Board Can. 32:2379-2383',
  epa2013:
    'US EPA (2013) Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, EPA-822-R-13-001',
  iupac: 'IUPAC standard atomic weights',
  plummer: 'Plummer, L.N. & Busenberg, E. (1982) Geochimica et Cosmochimica Acta 46:1011-1040',
  fao589:
    'Somerville, C., Cohen, M., Pantanella, E., Stankus, A. & Lovatelli, A. (2014) Small-scale aquaponic food production, FAO Fisheries and Aquaculture Technical Paper 589',
  timmons: 'Timmons, M.B. & Ebeling, J.M. (2010) Recirculating Aquaculture, 2nd ed.',
  ebeling: 'Ebeling, J.M., Timmons, M.B. & Bisogni, J.J. (2006) Aquaculture 257:346-358',
  rusten: 'Rusten, B., Eikebrokk, B., Ulgenes, Y. & Lygren, E. (2006) Aquacultural Engineering 34:322-331',
  khater:
    'Khater, E. et al. (2021) Scientific Reports 11:24130, doi 10.1038/s41598-021-03604-1 (author names from memory)',
  bioenergetics:
    'Deslauriers, D., Chipps, S.R., Breck, J.E., Rice, J.A. & Madenjian, C.P. (2017) Fish Bioenergetics 4.0, Fisheries 42(11):586-596; Kitchell et al. (1977)',
  asce: 'ASCE/EWRI 2-06, Measurement of Oxygen Transfer in Clean Water',
  massBalance: 'well-mixed mass balance (first principles)',
  srac462: 'Durborow, R.M., Crosby, D.M. & Brunson, M.W. (1997) Nitrite in Fish Ponds, SRAC Publication 462',
  rakocy2007: 'Rakocy, J.E. (2007) Ten guidelines for aquaponic systems, Aquaponics Journal',
  srac454: 'Rakocy, J.E., Masser, M.P. & Losordo, T.M. (2006) SRAC Publication 454',
  ashrae2017: 'ASHRAE Handbook - Fundamentals (2017) ch. 1, by psychrolib 2.5',
  fao56:
    'Allen, R.G., Pereira, L.S., Raes, D. & Smith, M. (1998) Crop evapotranspiration, FAO Irrigation and Drainage Paper 56',
  georgia: 'University of Georgia Cooperative Extension, greenhouse heating',
  arkansas: 'University of Arkansas, greenhouse management course, Unit 3, glazing table',
  ep406: 'ASABE EP406 Heating, Ventilating and Cooling Greenhouses',
  firstPrinciples: 'heat = mass x specific heat x temperature difference (first principles)',
  snyder:
    'Snyder, R.L. & de Melo-Abreu, J.P. (2005) Frost Protection: fundamentals, practice and economics, vol. 1, FAO',
  us76: 'U.S. Standard Atmosphere, 1976 (NOAA/NASA/USAF)',
  engineering: 'engineering references (formula without a named author)',
} as const
