/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units that are built in, as exact fractions.
 * Source: BIPM, The International System of Units (SI Brochure), 9th edition, 2019, tables 2, 4,
 * 7 and 8; NIST Special Publication 811, 2008 edition, appendix B (inch, pound, gallon,
 * horsepower, conventional columns of mercury and water, International Table and thermochemical
 * calorie and Btu). */
#include "unit_table.h"

/* Kinds as exponents of length, mass, time, current, temperature, amount, luminous, person. */
/* clang-format off */
#define PURE         {0}
#define LENGTH       {1}
#define AREA         {2}
#define VOLUME       {3}
#define MASS         {0, 1}
#define TIME         {0, 0, 1}
#define CURRENT      {0, 0, 0, 1}
#define TEMPERATURE  {0, 0, 0, 0, 1}
#define AMOUNT       {0, 0, 0, 0, 0, 1}
#define LUMINOUS     {0, 0, 0, 0, 0, 0, 1}
#define PERSON       {0, 0, 0, 0, 0, 0, 0, 1}
#define PER_TIME     {0, 0, -1}
#define SPEED        {1, 0, -1}
#define FORCE        {1, 1, -2}
#define PRESSURE     {-1, 1, -2}
#define ENERGY       {2, 1, -2}
#define POWER        {2, 1, -3}
#define CHARGE       {0, 0, 1, 1}
#define VOLTAGE      {2, 1, -3, -1}
#define CAPACITY     {-2, -1, 4, 2}
#define RESISTANCE   {2, 1, -3, -2}
#define CONDUCTANCE  {-2, -1, 3, 2}
#define FLUX         {2, 1, -2, -1}
#define FLUX_DENSITY {0, 1, -2, -1}
#define INDUCTANCE   {2, 1, -2, -2}
#define ILLUMINANCE  {-2, 0, 0, 0, 0, 0, 1}
#define DOSE         {2, 0, -2}
#define CATALYSIS    {0, 0, -1, 0, 0, 1}
#define PER_LENGTH   {-1, 1}
#define VISCOSITY    {-1, 1, -1}
#define DIFFUSIVITY  {2, 0, -1}
/* clang-format on */

#define PI 3.14159265358979323846L

/* clang-format off */
const unit_row unit_rows[UNIT_ROWS] = {
    /* one base unit for each base kind, in their order; then the hour */
    {"m", "metre", 1, 1, 0, LENGTH, PREFIX_ALL, 0},
    {"g", "gram", 1, 1, -3, MASS, PREFIX_ALL, 0},
    {"s", "second", 1, 1, 0, TIME, PREFIX_ALL, UNIT_HOURS},
    {"A", "ampere", 1, 1, 0, CURRENT, PREFIX_ALL, 0},
    {"K", "kelvin: a temperature difference", 1, 1, 0, TEMPERATURE, PREFIX_ALL, 0},
    {"mol", "mole", 1, 1, 0, AMOUNT, PREFIX_ALL, 0},
    {"cd", "candela", 1, 1, 0, LUMINOUS, PREFIX_ALL, 0},
    {"people", "people; person*h is labour written out", 1, 1, 0, PERSON, PREFIX_NONE, 0},
    {"h", "hour", 3600, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    /* SI, derived */
    {"rad", "radian: a plain number", 1, 1, 0, PURE, PREFIX_ALL, 0},
    {"sr", "steradian: a plain number", 1, 1, 0, PURE, PREFIX_ALL, 0},
    {"Hz", "hertz: a number per second", 1, 1, 0, PER_TIME, PREFIX_ALL, 0},
    {"N", "newton", 1, 1, 0, FORCE, PREFIX_ALL, 0},
    {"Pa", "pascal", 1, 1, 0, PRESSURE, PREFIX_ALL, 0},
    {"J", "joule", 1, 1, 0, ENERGY, PREFIX_ALL, 0},
    {"W", "watt", 1, 1, 0, POWER, PREFIX_ALL, 0},
    {"C", "coulomb", 1, 1, 0, CHARGE, PREFIX_ALL, 0},
    {"V", "volt", 1, 1, 0, VOLTAGE, PREFIX_ALL, 0},
    {"F", "farad", 1, 1, 0, CAPACITY, PREFIX_ALL, 0},
    {"ohm", "ohm", 1, 1, 0, RESISTANCE, PREFIX_ALL, 0},
    {"S", "siemens", 1, 1, 0, CONDUCTANCE, PREFIX_ALL, 0},
    {"Wb", "weber", 1, 1, 0, FLUX, PREFIX_ALL, 0},
    {"T", "tesla", 1, 1, 0, FLUX_DENSITY, PREFIX_ALL, 0},
    {"H", "henry", 1, 1, 0, INDUCTANCE, PREFIX_ALL, 0},
    {"lm", "lumen", 1, 1, 0, LUMINOUS, PREFIX_ALL, 0},
    {"lx", "lux", 1, 1, 0, ILLUMINANCE, PREFIX_ALL, 0},
    {"Bq", "becquerel", 1, 1, 0, PER_TIME, PREFIX_ALL, 0},
    {"Gy", "gray", 1, 1, 0, DOSE, PREFIX_ALL, 0},
    {"Sv", "sievert", 1, 1, 0, DOSE, PREFIX_ALL, 0},
    {"kat", "katal", 1, 1, 0, CATALYSIS, PREFIX_ALL, 0},
    /* beside SI */
    {"min", "minute", 60, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"d", "day of 24 hours", 86400, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"week", "week of 7 days", 604800, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"ha", "hectare", 1, 1, 4, AREA, PREFIX_NONE, 0},
    {"L", "litre", 1, 1, -3, VOLUME, PREFIX_ALL, 0},
    {"t", "tonne, 1000 kg", 1, 1, 3, MASS, PREFIX_LARGE, 0},
    {"u", "unified atomic mass unit (CODATA 2018)",
     166053906660, 1, -38, MASS, PREFIX_NONE, 0},
    {"Da", "dalton, the same", 166053906660, 1, -38, MASS, PREFIX_ALL, 0},
    {"eV", "electronvolt", 1602176634, 1, -28, ENERGY, PREFIX_ALL, 0},
    {"au", "astronomical unit", 149597870700, 1, 0, LENGTH, PREFIX_NONE, 0},
    {"deg", "degree of angle: a plain number", PI, 180, 0, PURE, PREFIX_NONE, 0},
    {"bar", "bar", 1, 1, 5, PRESSURE, PREFIX_ALL, 0},
    {"Wh", "watt hour", 3600, 1, 0, ENERGY, PREFIX_LARGE, 0},
    /* temperature */
    {"degC", "degree Celsius, a temperature", 1, 1, 0, TEMPERATURE, PREFIX_NONE, UNIT_POINT},
    {"degF", "degree Fahrenheit, a temperature",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, UNIT_POINT},
    {"degR", "degree Rankine: a temperature difference",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, 0},
    {"degC_step", "a difference of one degree Celsius",
     1, 1, 0, TEMPERATURE, PREFIX_NONE, UNIT_STEP},
    {"degF_step", "a difference of one degree Fahrenheit",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, UNIT_STEP},
    /* length */
    {"in", "inch", 254, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"ft", "foot (international)", 3048, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"yd", "yard (international)", 9144, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"mile", "mile (international)", 1609344, 1, -3, LENGTH, PREFIX_NONE, 0},
    {"mil", "thousandth of an inch", 254, 1, -7, LENGTH, PREFIX_NONE, 0},
    {"uin", "microinch", 254, 1, -10, LENGTH, PREFIX_NONE, 0},
    {"nmi", "nautical mile", 1852, 1, 0, LENGTH, PREFIX_NONE, 0},
    {"angstrom", "angstrom", 1, 1, -10, LENGTH, PREFIX_NONE, 0},
    {"knot", "knot, a nautical mile per hour", 1852, 3600, 0, SPEED, PREFIX_NONE, 0},
    /* mass */
    {"lb", "pound (avoirdupois)", 45359237, 1, -8, MASS, PREFIX_NONE, 0},
    {"oz", "ounce (avoirdupois)", 45359237, 16, -8, MASS, PREFIX_NONE, 0},
    {"dr", "dram (avoirdupois)", 45359237, 256, -8, MASS, PREFIX_NONE, 0},
    {"gr", "grain", 6479891, 1, -11, MASS, PREFIX_NONE, 0},
    {"stone", "stone, 14 lb", 635029318, 1, -8, MASS, PREFIX_NONE, 0},
    {"cwt_us", "short hundredweight, 100 lb", 45359237, 1, -6, MASS, PREFIX_NONE, 0},
    {"cwt_uk", "long hundredweight, 112 lb", 5080234544, 1, -8, MASS, PREFIX_NONE, 0},
    {"ton_us", "short ton, 2000 lb", 90718474, 1, -5, MASS, PREFIX_NONE, 0},
    {"ton_uk", "long ton, 2240 lb", 10160469088, 1, -7, MASS, PREFIX_NONE, 0},
    {"slug", "slug, lbf s2/ft", 44482216152605, 3048, -9, MASS, PREFIX_NONE, 0},
    /* yarn */
    {"tex", "tex, a gram per kilometre", 1, 1, -6, PER_LENGTH, PREFIX_ALL, 0},
    {"denier", "denier, a gram per 9 kilometres", 1, 9, -6, PER_LENGTH, PREFIX_NONE, 0},
    /* volume */
    {"gal", "gallon (US)", 3785411784, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"qt", "quart (US liquid)", 946352946, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"pt", "pint (US liquid)", 473176473, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"cup", "cup (US)", 2365882365, 1, -13, VOLUME, PREFIX_NONE, 0},
    {"fl_oz", "fluid ounce (US)", 295735295625, 1, -16, VOLUME, PREFIX_NONE, 0},
    {"tbsp", "tablespoon (US)", 1478676478125, 1, -17, VOLUME, PREFIX_NONE, 0},
    {"tsp", "teaspoon (US)", 492892159375, 1, -17, VOLUME, PREFIX_NONE, 0},
    {"gal_uk", "gallon (imperial)", 454609, 1, -8, VOLUME, PREFIX_NONE, 0},
    {"qt_uk", "quart (imperial)", 11365225, 1, -10, VOLUME, PREFIX_NONE, 0},
    {"pt_uk", "pint (imperial)", 56826125, 1, -11, VOLUME, PREFIX_NONE, 0},
    {"fl_oz_uk", "fluid ounce (imperial)", 284130625, 1, -13, VOLUME, PREFIX_NONE, 0},
    {"cc", "cubic centimetre", 1, 1, -6, VOLUME, PREFIX_NONE, 0},
    /* force */
    {"lbf", "pound-force", 44482216152605, 1, -13, FORCE, PREFIX_NONE, 0},
    {"ozf", "ounce-force", 44482216152605, 16, -13, FORCE, PREFIX_NONE, 0},
    {"kip", "kip, 1000 lbf", 44482216152605, 1, -10, FORCE, PREFIX_NONE, 0},
    {"gf", "gram-force", 980665, 1, -8, FORCE, PREFIX_ALL, 0},
    {"dyn", "dyne", 1, 1, -5, FORCE, PREFIX_NONE, 0},
    /* pressure and stiffness */
    {"psi", "pound-force per square inch",
     44482216152605, 64516, -5, PRESSURE, PREFIX_NONE, 0},
    {"ksi", "1000 psi", 44482216152605, 64516, -2, PRESSURE, PREFIX_NONE, 0},
    {"Msi", "million psi", 44482216152605, 64516, 1, PRESSURE, PREFIX_NONE, 0},
    {"atm", "standard atmosphere", 101325, 1, 0, PRESSURE, PREFIX_NONE, 0},
    {"Torr", "torr, atm/760", 101325, 760, 0, PRESSURE, PREFIX_ALL, 0},
    {"mmHg", "millimetre of mercury (conventional)",
     133322387415, 1, -9, PRESSURE, PREFIX_NONE, 0},
    {"inHg", "inch of mercury (conventional)",
     3386388640341, 1, -9, PRESSURE, PREFIX_NONE, 0},
    {"mmH2O", "millimetre of water (conventional)", 980665, 1, -5, PRESSURE, PREFIX_NONE, 0},
    {"inH2O", "inch of water (conventional)", 24908891, 1, -5, PRESSURE, PREFIX_NONE, 0},
    /* energy and power */
    {"cal", "calorie (thermochemical)", 4184, 1, -3, ENERGY, PREFIX_LARGE, 0},
    {"cal_IT", "calorie (International Table)", 41868, 1, -4, ENERGY, PREFIX_LARGE, 0},
    {"Btu", "British thermal unit (International Table)",
     105505585262, 1, -8, ENERGY, PREFIX_NONE, 0},
    {"Btu_th", "British thermal unit (thermochemical)",
     94891523804, 9, -7, ENERGY, PREFIX_NONE, 0},
    {"hp", "horsepower, 550 ft lbf/s", 37284993579113511, 5, -13, POWER, PREFIX_NONE, 0},
    {"hp_metric", "horsepower (metric), 75 kgf m/s", 73549875, 1, -5, POWER, PREFIX_NONE, 0},
    /* viscosity */
    {"P", "poise", 1, 1, -1, VISCOSITY, PREFIX_ALL, 0},
    {"St", "stokes", 1, 1, -4, DIFFUSIVITY, PREFIX_ALL, 0},
    /* turning: a revolution is a plain 1 */
    {"rpm", "revolutions per minute, 1/min", 1, 60, 0, PER_TIME, PREFIX_NONE, 0},
    /* plain numbers */
    {"%", "hundredth", 1, 1, -2, PURE, PREFIX_NONE, 0},
    {"ppm", "millionth", 1, 1, -6, PURE, PREFIX_NONE, 0},
    {"phr", "part per hundred of resin: hundredth", 1, 1, -2, PURE, PREFIX_NONE, 0},
    {"pcs", "pieces: a plain number", 1, 1, 0, PURE, PREFIX_NONE, 0},
    {"dozen", "twelve", 12, 1, 0, PURE, PREFIX_NONE, 0},
};

const point_row point_rows[POINT_ROWS] = {{"degC", 27315}, {"degF", 45967}};

const prefix_row prefix_rows[PREFIX_ROWS] = {
    {"k", "kilo", 3}, {"c", "centi", -2}, {"m", "milli", -3}, {"u", "micro", -6},
    {"M", "mega", 6}, {"G", "giga", 9}, {"n", "nano", -9}, {"d", "deci", -1},
    {"h", "hecto", 2}, {"da", "deca", 1}, {"T", "tera", 12}, {"p", "pico", -12},
    {"P", "peta", 15}, {"f", "femto", -15}, {"E", "exa", 18}, {"a", "atto", -18},
    {"Z", "zetta", 21}, {"z", "zepto", -21}, {"Y", "yotta", 24}, {"y", "yocto", -24},
    {"R", "ronna", 27}, {"r", "ronto", -27}, {"Q", "quetta", 30}, {"q", "quecto", -30},
};

const alias_row alias_rows[ALIAS_ROWS] = {
    {"l", "L", true}, {"litre", "L", false}, {"litres", "L", false}, {"liter", "L", false},
    {"liters", "L", false}, {"metre", "m", false}, {"metres", "m", false}, {"meter", "m", false},
    {"meters", "m", false}, {"micron", "um", false}, {"microns", "um", false}, {"gram", "g", false},
    {"grams", "g", false}, {"kilo", "kg", false}, {"kilos", "kg", false}, {"tonne", "t", false},
    {"tonnes", "t", false}, {"sec", "s", false}, {"second", "s", false}, {"seconds", "s", false},
    {"mins", "min", false}, {"minute", "min", false}, {"minutes", "min", false}, {"hr", "h", false},
    {"hrs", "h", false}, {"hour", "h", false}, {"hours", "h", false}, {"day", "d", false},
    {"days", "d", false}, {"wk", "week", false}, {"weeks", "week", false}, {"inch", "in", false},
    {"inches", "in", false}, {"foot", "ft", false}, {"feet", "ft", false}, {"yard", "yd", false},
    {"yards", "yd", false}, {"mi", "mile", false}, {"miles", "mile", false}, {"thou", "mil", false},
    {"mils", "mil", false}, {"lbs", "lb", false}, {"pound", "lb", false}, {"pounds", "lb", false},
    {"ounce", "oz", false}, {"ounces", "oz", false}, {"gallon", "gal", false},
    {"gallons", "gal", false},
    {"quart", "qt", false}, {"quarts", "qt", false}, {"pint", "pt", false}, {"pints", "pt", false},
    {"cups", "cup", false}, {"den", "denier", false}, {"torr", "Torr", true}, {"Ohm", "ohm", true},
    {"knots", "knot", false}, {"degree", "deg", false}, {"degrees", "deg", false},
    {"Celsius", "degC", false}, {"Fahrenheit", "degF", false}, {"poise", "P", false},
    {"stokes", "St", false}, {"person", "people", false}, {"persons", "people", false},
    {"percent", "%", false}, {"pc", "pcs", false}, {"piece", "pcs", false},
    {"pieces", "pcs", false},
    {"each", "pcs", false}, {"ea", "pcs", false},
};

const char *const common_units[COMMON_ROWS] = {
    "kg", "mm", "cm", "km", "um", "mg", "ml", "cl", "mL", "kPa", "MPa", "GPa", "mbar", "kN", "kW",
    "kWh", "MWh", "kJ", "MJ", "kcal", "cP", "cSt", "ktex", "dtex", "ms", "mA", "mV", "kV", "kohm",
    "kHz", "MHz", "mrad", "mN", "kgf",
};
/* clang-format on */
