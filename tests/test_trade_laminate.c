/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate: mass and volume balance of a ply against published examples. */
#include "trade_rows.h"

#include "mouldwright/trade_laminate.h"

#define TM_83320                                                                           \
    "C. C. Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal and " \
    "Mechanical Properties, NASA TM-83320, 1983, "
#define TP_2515 "P. L. N. Murthy and C. C. Chamis, ICAN, NASA TP-2515, 1986, p. 57 (RHOPC)"
#define HDBK_17 \
    "MIL-HDBK-17-2F, 2002, 6.2.1, p. 6-1: 0.0033 to 0.0037 in; mid value; densities assumed"
#define NOTES   "open course notes, Fibre Volume Fraction and Laminate Thickness; densities ours"
#define BALANCE "mass balance, exact arithmetic"
#define PACKING \
    "t = areal weight / (density x share); open course notes: share = n Aw / (density d)"
#define D3171 "ASTM D3171-15, method II; equation from memory"
#define D2734 "ASTM D3171-15 and D2734-16, void equation, from memory"
#define INCH  0.0254

static mw_trade_status fibre_share(const double *in, double *out)
{
    return mw_trade_fibre_volume_share(&(mw_mixture){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status volume_share(const double *in, double *out)
{
    return mw_trade_volume_share(&(mw_mixture){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status density(const double *in, double *out)
{
    return mw_trade_laminate_density(&(mw_ply_parts){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status mass_share(const double *in, double *out)
{
    return mw_trade_fibre_mass_share(&(mw_ply_parts){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status to_fill(const double *in, double *out)
{
    return mw_trade_resin_to_fill(in[0], &(mw_ply_parts){in[1], in[2], in[3], in[4]}, out);
}

static mw_trade_status thickness(const double *in, double *out)
{
    return mw_trade_ply_thickness(in[0], in[1], in[2], out);
}

static mw_trade_status measured(const double *in, double *out)
{
    return mw_trade_measured_fibre_share(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status voids(const double *in, double *out)
{
    return mw_trade_void_share(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status demand(const double *in, double *out)
{
    return mw_trade_resin_demand(in[0], in[1], out);
}

static mw_trade_status layer(const double *in, double *out)
{
    return mw_trade_layer_thickness(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status soaked(const double *in, double *out)
{
    return mw_trade_resin_soaked(&(mw_fabric){in[0], in[1], in[2], in[4]}, in[3], out);
}

static mw_trade_status in_one_go(const double *in, double *out)
{
    return mw_trade_plies_in_one_go(in[0], in[1], out);
}

/* Thickness of plies of a share of resin by mass: two methods in a row. in: plies, areal weight, share of
 * fibre by mass, densities of fibre and resin. */
static mw_trade_status stack(const double *in, double *out)
{
    double share = 0.0;
    double ply_m = 0.0;
    const mw_trade_status first =
        mw_trade_fibre_volume_share(&(mw_mixture){in[2], in[3], in[4], 0.0}, &share);
    const mw_trade_status second = mw_trade_ply_thickness(in[1], in[3], share, &ply_m);
    *out = in[0] * ply_m;
    return first != MW_TRADE_OK ? first : second;
}

/* The same stack by its layers: resin by mass, then the volumes. */
static mw_trade_status stack_by_layers(const double *in, double *out)
{
    double resin_kgm2 = 0.0;
    double layer_m = 0.0;
    const mw_trade_status first = mw_trade_resin_demand(in[1], 1.0 - in[2], &resin_kgm2);
    const mw_trade_status second =
        mw_trade_layer_thickness(in[1], in[3], resin_kgm2, in[4], &layer_m);
    *out = in[0] * layer_m;
    return first != MW_TRADE_OK ? first : second;
}

static const trade_row rows[] = {
    {"PLY-01",
     fibre_share,
     {0.6, 0.063, 0.044, 0.02},
     0.5,
     0.005,
     0,
     CONFIRMED,
     TM_83320 "example 3.2, p. 3"},
    {"PLY-02",
     fibre_share,
     {0.7, 0.063, 0.046, 0.01},
     0.624,
     0.0005,
     0,
     CONFIRMED,
     TM_83320 "example 4.1, p. 3"},
    {"PLY-03",
     fibre_share,
     {0.7, 0.063, 0.046, 0},
     0.63,
     0.0005,
     0,
     CONFIRMED,
     TM_83320 "example 4.1, p. 4"},
    {"PLY-07",
     volume_share,
     {0.35, 0.046, 0.063, 0},
     0.42,
     0.005,
     0,
     CONFIRMED,
     TM_83320 "example 7.2, p. 6"},
    {"PLY-08",
     density,
     {0.58, 0.063, 0.046, 0},
     0.056,
     0.0005,
     0,
     CONFIRMED,
     TM_83320 "example 7.2, p. 6"},
    {"PLY-09",
     density,
     {0.55, 0.063, 0.046, 0.02},
     0.05443,
     0.00001,
     0,
     CONFIRMED,
     TP_2515 ", one digit lost in the scan"},
    {"PLY-11 wettest",
     stack,
     {1, 0.111, 0.67, 2490, 1280},
     0.0035 * INCH,
     0,
     0.10,
     CONFIRMED,
     HDBK_17 "; 33 % resin"},
    {"PLY-11 middle",
     stack,
     {1, 0.111, 0.695, 2490, 1280},
     0.0035 * INCH,
     0,
     0.10,
     CONFIRMED,
     HDBK_17 "; 30.5 % resin"},
    {"PLY-12", stack, {2, 0.45, 1.0 / 3.0, 2560, 1200}, 1.8516e-3, 1e-6, 0, DERIVED, NOTES},
    {"PLY-12 by layers",
     stack_by_layers,
     {2, 0.45, 1.0 / 3.0, 2560, 1200},
     1.8516e-3,
     1e-6,
     0,
     DERIVED,
     NOTES},
    {"PLY-13", fibre_share, {1.0 / 3.0, 2560, 1200, 0}, 0.18987, 0.0001, 0, DERIVED, NOTES},
    {"PLY-14", thickness, {0.2, 1780, 0.5}, 0.22472e-3, 1e-7, 0, DERIVED, PACKING},
    {"PLY-15", to_fill, {0.2, 0.5, 1780, 1150, 0}, 0.12921, 0.00005, 0, DERIVED, BALANCE},
    {"PLY-16", thickness, {0.6, 1780, 0.45}, 0.74906e-3, 1e-7, 0, DERIVED, PACKING},
    {"PLY-17", to_fill, {0.6, 0.45, 1780, 1150, 0}, 0.47378, 0.00005, 0, DERIVED, BALANCE},
    {"PLY-18", measured, {10, 0.2, 1780, 2e-3}, 0.5618, 0.0001, 0, MEMORY, D3171},
    {"PLY-19",
     fibre_share,
     {0.7, 2540, 1200, 0},
     0.52434,
     0.0001,
     0,
     DERIVED,
     "identity of mass and volume shares, as in " TM_83320 "example 4.1"},
    {"PLY-20", voids, {1850, 0.7, 2540, 1200}, 0.02766, 0.0001, 0, MEMORY, D2734},
    {"mass share back",
     mass_share,
     {0.52434, 2540, 1200, 0},
     0.7,
     0.0001,
     0,
     DERIVED,
     "inverse of the row before"},
    {"half resin by mass", demand, {0.2, 0.5}, 0.2, 0, 1e-12, DERIVED, BALANCE},
    {"heavy carbon at 48 %", demand, {0.6, 0.48}, 0.6 * 0.48 / 0.52, 0, 1e-12, DERIVED, BALANCE},
    {"no resin", demand, {0.6, 0}, 0, 0, 0, DERIVED, BALANCE},
    {"dry layer", layer, {0.6, 1780, 0, 1150}, 0.6 / 1780, 0, 1e-12, DERIVED, "volume balance"},
    {"peel ply",
     soaked,
     {0.15e-3, 0.083, 1140, 1150, 1},
     0.08877,
     0.00001,
     0,
     DERIVED,
     "volume balance by hand: (0.15 mm - 83 / 1140 mm) x 1150 kg/m3"},
    {"breather, a tenth full",
     soaked,
     {1e-3, 0.15, 1380, 1150, 0.1},
     0.1025,
     0.00001,
     0,
     DERIVED,
     "volume balance by hand: (1 mm - 150 / 1380 mm) x 10 % x 1150 kg/m3"},
    {"four in one go", in_one_go, {0.85e-3, 4e-3}, 4, 0, 1e-12, DERIVED, "arithmetic"},
    {"just whole", in_one_go, {0.1e-3, 0.3e-3}, 3, 0, 1e-12, DERIVED, "arithmetic"},
};

#define NANS ((double)NAN)

static const trade_refusal refusals[] = {
    {"more fibre than can be packed", thickness, {0.2, 1780, 0.91}, MW_TRADE_OUT_OF_RANGE},
    {"no fibre", thickness, {0.2, 1780, 0}, MW_TRADE_NO_SENSE},
    {"weightless cloth", thickness, {0, 1780, 0.5}, MW_TRADE_NO_SENSE},
    {"share above one", thickness, {0.2, 1780, 1.1}, MW_TRADE_NO_SENSE},
    {"not a number", thickness, {NANS, 1780, 0.5}, MW_TRADE_NO_SENSE},
    {"endless density", thickness, {0.2, HUGE_VAL, 0.5}, MW_TRADE_NO_SENSE},
    {"fibre by mass too much", fibre_share, {0.99, 1780, 1150, 0}, MW_TRADE_OUT_OF_RANGE},
    {"all voids", fibre_share, {0.5, 1780, 1150, 1}, MW_TRADE_NO_SENSE},
    {"fibre and voids fill it all", density, {0.6, 1780, 1150, 0.4}, MW_TRADE_NO_SENSE},
    {"thinner than its fibre", measured, {10, 0.2, 1780, 1e-3}, MW_TRADE_OUT_OF_RANGE},
    {"density above the solid", voids, {2200, 0.7, 2540, 1200}, MW_TRADE_OUT_OF_RANGE},
    {"resin alone", demand, {0.2, 1}, MW_TRADE_OUT_OF_RANGE},
    {"resin below none", demand, {0.2, -0.1}, MW_TRADE_NO_SENSE},
    {"breather thinner than its fibre", soaked, {0.1e-3, 0.15, 1380, 1150, 1}, MW_TRADE_NO_SENSE},
    {"one layer too thick", in_one_go, {5e-3, 4e-3}, MW_TRADE_OUT_OF_RANGE},
    {"no limit", in_one_go, {1e-3, 0}, MW_TRADE_NO_SENSE},
    {"negative areal weight to fill", to_fill, {-0.2, 0.5, 1780, 1150, 0}, MW_TRADE_NO_SENSE},
    {"negative resin in a layer", layer, {0.2, 1780, -0.1, 1150}, MW_TRADE_NO_SENSE},
};

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "check", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    return test_run(&tests, "trade_laminate");
}
