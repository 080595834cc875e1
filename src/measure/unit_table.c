/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units that are built in, as exact fractions.
 * Source: BIPM, The International System of Units (SI Brochure), 9th edition, 2019, tables 2, 4,
 * 7 and 8; NIST Special Publication 811, 2008 edition, appendix B (inch, pound, gallon,
 * horsepower, conventional columns of mercury and water, International Table and thermochemical
 * calorie and Btu). */
#include "unit_table.h"

#include <stddef.h>

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
    {"m", NULL, "metre", 1, 1, 0, LENGTH, PREFIX_ALL, 0},
    {"g", NULL, "gram", 1, 1, -3, MASS, PREFIX_ALL, 0},
    {"s", NULL, "second", 1, 1, 0, TIME, PREFIX_ALL, UNIT_HOURS},
    {"A", NULL, "ampere", 1, 1, 0, CURRENT, PREFIX_ALL, 0},
    {"K", NULL, "kelvin: a temperature difference", 1, 1, 0, TEMPERATURE, PREFIX_ALL, 0},
    {"mol", NULL, "mole", 1, 1, 0, AMOUNT, PREFIX_ALL, 0},
    {"cd", NULL, "candela", 1, 1, 0, LUMINOUS, PREFIX_ALL, 0},
    {"people", "person", "people; person*h is labour written out", 1, 1, 0, PERSON, PREFIX_NONE, 0},
    {"h", NULL, "hour", 3600, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    /* SI, derived */
    {"rad", NULL, "radian: a plain number", 1, 1, 0, PURE, PREFIX_ALL, 0},
    {"sr", NULL, "steradian: a plain number", 1, 1, 0, PURE, PREFIX_ALL, 0},
    {"Hz", NULL, "hertz: a number per second", 1, 1, 0, PER_TIME, PREFIX_ALL, 0},
    {"N", NULL, "newton", 1, 1, 0, FORCE, PREFIX_ALL, 0},
    {"Pa", NULL, "pascal", 1, 1, 0, PRESSURE, PREFIX_ALL, 0},
    {"J", NULL, "joule", 1, 1, 0, ENERGY, PREFIX_ALL, 0},
    {"W", NULL, "watt", 1, 1, 0, POWER, PREFIX_ALL, 0},
    {"C", NULL, "coulomb", 1, 1, 0, CHARGE, PREFIX_ALL, 0},
    {"V", NULL, "volt", 1, 1, 0, VOLTAGE, PREFIX_ALL, 0},
    {"F", NULL, "farad", 1, 1, 0, CAPACITY, PREFIX_ALL, 0},
    {"ohm", NULL, "ohm", 1, 1, 0, RESISTANCE, PREFIX_ALL, 0},
    {"S", NULL, "siemens", 1, 1, 0, CONDUCTANCE, PREFIX_ALL, 0},
    {"Wb", NULL, "weber", 1, 1, 0, FLUX, PREFIX_ALL, 0},
    {"T", NULL, "tesla", 1, 1, 0, FLUX_DENSITY, PREFIX_ALL, 0},
    {"H", NULL, "henry", 1, 1, 0, INDUCTANCE, PREFIX_ALL, 0},
    {"lm", NULL, "lumen", 1, 1, 0, LUMINOUS, PREFIX_ALL, 0},
    {"lx", NULL, "lux", 1, 1, 0, ILLUMINANCE, PREFIX_ALL, 0},
    {"Bq", NULL, "becquerel", 1, 1, 0, PER_TIME, PREFIX_ALL, 0},
    {"Gy", NULL, "gray", 1, 1, 0, DOSE, PREFIX_ALL, 0},
    {"Sv", NULL, "sievert", 1, 1, 0, DOSE, PREFIX_ALL, 0},
    {"kat", NULL, "katal", 1, 1, 0, CATALYSIS, PREFIX_ALL, 0},
    /* beside SI */
    {"min", NULL, "minute", 60, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"d", NULL, "day of 24 hours", 86400, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"week", NULL, "week of 7 days", 604800, 1, 0, TIME, PREFIX_NONE, UNIT_HOURS},
    {"ha", NULL, "hectare", 1, 1, 4, AREA, PREFIX_NONE, 0},
    {"L", NULL, "litre", 1, 1, -3, VOLUME, PREFIX_ALL, 0},
    {"t", NULL, "tonne, 1000 kg", 1, 1, 3, MASS, PREFIX_LARGE, 0},
    {"u", NULL, "unified atomic mass unit (CODATA 2018)",
     166053906660, 1, -38, MASS, PREFIX_NONE, 0},
    {"Da", NULL, "dalton, the same", 166053906660, 1, -38, MASS, PREFIX_ALL, 0},
    {"eV", NULL, "electronvolt", 1602176634, 1, -28, ENERGY, PREFIX_ALL, 0},
    {"au", NULL, "astronomical unit", 149597870700, 1, 0, LENGTH, PREFIX_NONE, 0},
    {"deg", NULL, "degree of angle: a plain number", PI, 180, 0, PURE, PREFIX_NONE, 0},
    {"bar", NULL, "bar", 1, 1, 5, PRESSURE, PREFIX_ALL, 0},
    {"Wh", NULL, "watt hour", 3600, 1, 0, ENERGY, PREFIX_LARGE, 0},
    /* temperature */
    {"degC", NULL, "degree Celsius, a temperature", 1, 1, 0, TEMPERATURE, PREFIX_NONE, UNIT_POINT},
    {"degF", NULL, "degree Fahrenheit, a temperature",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, UNIT_POINT},
    {"degR", NULL, "degree Rankine: a temperature difference",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, 0},
    {"degC_step", NULL, "a difference of one degree Celsius",
     1, 1, 0, TEMPERATURE, PREFIX_NONE, UNIT_STEP},
    {"degF_step", NULL, "a difference of one degree Fahrenheit",
     5, 9, 0, TEMPERATURE, PREFIX_NONE, UNIT_STEP},
    /* length */
    {"in", NULL, "inch", 254, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"ft", NULL, "foot (international)", 3048, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"yd", NULL, "yard (international)", 9144, 1, -4, LENGTH, PREFIX_NONE, 0},
    {"mile", NULL, "mile (international)", 1609344, 1, -3, LENGTH, PREFIX_NONE, 0},
    {"mil", NULL, "thousandth of an inch", 254, 1, -7, LENGTH, PREFIX_NONE, 0},
    {"uin", NULL, "microinch", 254, 1, -10, LENGTH, PREFIX_NONE, 0},
    {"nmi", NULL, "nautical mile", 1852, 1, 0, LENGTH, PREFIX_NONE, 0},
    {"angstrom", NULL, "angstrom", 1, 1, -10, LENGTH, PREFIX_NONE, 0},
    {"knot", NULL, "knot, a nautical mile per hour", 1852, 3600, 0, SPEED, PREFIX_NONE, 0},
    /* mass */
    {"lb", NULL, "pound (avoirdupois)", 45359237, 1, -8, MASS, PREFIX_NONE, 0},
    {"oz", NULL, "ounce (avoirdupois)", 45359237, 16, -8, MASS, PREFIX_NONE, 0},
    {"dr", NULL, "dram (avoirdupois)", 45359237, 256, -8, MASS, PREFIX_NONE, 0},
    {"gr", NULL, "grain", 6479891, 1, -11, MASS, PREFIX_NONE, 0},
    {"stone", NULL, "stone, 14 lb", 635029318, 1, -8, MASS, PREFIX_NONE, 0},
    {"cwt_us", NULL, "short hundredweight, 100 lb", 45359237, 1, -6, MASS, PREFIX_NONE, 0},
    {"cwt_uk", NULL, "long hundredweight, 112 lb", 5080234544, 1, -8, MASS, PREFIX_NONE, 0},
    {"ton_us", NULL, "short ton, 2000 lb", 90718474, 1, -5, MASS, PREFIX_NONE, 0},
    {"ton_uk", NULL, "long ton, 2240 lb", 10160469088, 1, -7, MASS, PREFIX_NONE, 0},
    {"slug", NULL, "slug, lbf s2/ft", 44482216152605, 3048, -9, MASS, PREFIX_NONE, 0},
    /* yarn */
    {"tex", NULL, "tex, a gram per kilometre", 1, 1, -6, PER_LENGTH, PREFIX_ALL, 0},
    {"denier", NULL, "denier, a gram per 9 kilometres", 1, 9, -6, PER_LENGTH, PREFIX_NONE, 0},
    /* volume */
    {"gal", NULL, "gallon (US)", 3785411784, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"qt", NULL, "quart (US liquid)", 946352946, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"pt", NULL, "pint (US liquid)", 473176473, 1, -12, VOLUME, PREFIX_NONE, 0},
    {"cup", NULL, "cup (US)", 2365882365, 1, -13, VOLUME, PREFIX_NONE, 0},
    {"fl_oz", NULL, "fluid ounce (US)", 295735295625, 1, -16, VOLUME, PREFIX_NONE, 0},
    {"tbsp", NULL, "tablespoon (US)", 1478676478125, 1, -17, VOLUME, PREFIX_NONE, 0},
    {"tsp", NULL, "teaspoon (US)", 492892159375, 1, -17, VOLUME, PREFIX_NONE, 0},
    {"gal_uk", NULL, "gallon (imperial)", 454609, 1, -8, VOLUME, PREFIX_NONE, 0},
    {"qt_uk", NULL, "quart (imperial)", 11365225, 1, -10, VOLUME, PREFIX_NONE, 0},
    {"pt_uk", NULL, "pint (imperial)", 56826125, 1, -11, VOLUME, PREFIX_NONE, 0},
    {"fl_oz_uk", NULL, "fluid ounce (imperial)", 284130625, 1, -13, VOLUME, PREFIX_NONE, 0},
    {"cc", NULL, "cubic centimetre", 1, 1, -6, VOLUME, PREFIX_NONE, 0},
    /* force */
    {"lbf", NULL, "pound-force", 44482216152605, 1, -13, FORCE, PREFIX_NONE, 0},
    {"ozf", NULL, "ounce-force", 44482216152605, 16, -13, FORCE, PREFIX_NONE, 0},
    {"kip", NULL, "kip, 1000 lbf", 44482216152605, 1, -10, FORCE, PREFIX_NONE, 0},
    {"gf", NULL, "gram-force", 980665, 1, -8, FORCE, PREFIX_ALL, 0},
    {"dyn", NULL, "dyne", 1, 1, -5, FORCE, PREFIX_NONE, 0},
    /* pressure and stiffness */
    {"psi", NULL, "pound-force per square inch",
     44482216152605, 64516, -5, PRESSURE, PREFIX_NONE, 0},
    {"ksi", NULL, "1000 psi", 44482216152605, 64516, -2, PRESSURE, PREFIX_NONE, 0},
    {"Msi", NULL, "million psi", 44482216152605, 64516, 1, PRESSURE, PREFIX_NONE, 0},
    {"atm", NULL, "standard atmosphere", 101325, 1, 0, PRESSURE, PREFIX_NONE, 0},
    {"Torr", NULL, "torr, atm/760", 101325, 760, 0, PRESSURE, PREFIX_ALL, 0},
    {"mmHg", NULL, "millimetre of mercury (conventional)",
     133322387415, 1, -9, PRESSURE, PREFIX_NONE, 0},
    {"inHg", NULL, "inch of mercury (conventional)",
     3386388640341, 1, -9, PRESSURE, PREFIX_NONE, 0},
    {"mmH2O", NULL, "millimetre of water (conventional)", 980665, 1, -5, PRESSURE, PREFIX_NONE, 0},
    {"inH2O", NULL, "inch of water (conventional)", 24908891, 1, -5, PRESSURE, PREFIX_NONE, 0},
    /* energy and power */
    {"cal", NULL, "calorie (thermochemical)", 4184, 1, -3, ENERGY, PREFIX_LARGE, 0},
    {"cal_IT", NULL, "calorie (International Table)", 41868, 1, -4, ENERGY, PREFIX_LARGE, 0},
    {"Btu", NULL, "British thermal unit (International Table)",
     105505585262, 1, -8, ENERGY, PREFIX_NONE, 0},
    {"Btu_th", NULL, "British thermal unit (thermochemical)",
     94891523804, 9, -7, ENERGY, PREFIX_NONE, 0},
    {"hp", NULL, "horsepower, 550 ft lbf/s", 37284993579113511, 5, -13, POWER, PREFIX_NONE, 0},
    {"hp_metric", NULL, "horsepower (metric), 75 kgf m/s", 73549875, 1, -5, POWER, PREFIX_NONE, 0},
    /* viscosity */
    {"P", NULL, "poise", 1, 1, -1, VISCOSITY, PREFIX_ALL, 0},
    {"St", NULL, "stokes", 1, 1, -4, DIFFUSIVITY, PREFIX_ALL, 0},
    /* turning: a revolution is a plain 1 */
    {"rpm", NULL, "revolutions per minute, 1/min", 1, 60, 0, PER_TIME, PREFIX_NONE, 0},
    /* plain numbers */
    {"%", NULL, "hundredth", 1, 1, -2, PURE, PREFIX_NONE, 0},
    {"ppm", NULL, "millionth", 1, 1, -6, PURE, PREFIX_NONE, 0},
    {"phr", NULL, "part per hundred of resin: hundredth", 1, 1, -2, PURE, PREFIX_NONE, 0},
    {"pcs", NULL, "pieces: a plain number", 1, 1, 0, PURE, PREFIX_NONE, 0},
    {"dozen", NULL, "twelve", 12, 1, 0, PURE, PREFIX_NONE, 0},
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
