/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coats and putty against open worked examples. */
#include "trade_rows.h"

#include "mouldwright/trade_coat.h"

#define SPREADING "open worked example, note on spreading rates"
#define WET_FILM  "open worked example, wet film formulae"
#define MIL       2.54e-5
#define FT2_GAL   (0.09290304 / 3.785411784e-3) /* square feet a gallon, in m2/m3 */

static mw_trade_status rate(const double *in, double *out)
{
    return mw_trade_spreading_rate(in[0], in[1], out);
}

/* The note rounds 1604.17 ft2 mil/gal to 1604, which is more than its own tolerance: so does this. */
static mw_trade_status rate_by_1604(const double *in, double *out)
{
    const mw_trade_status status = mw_trade_spreading_rate(in[0], in[1], out);
    *out *= 1604.0 * MIL * FT2_GAL;
    return status;
}

static mw_trade_status wet(const double *in, double *out)
{
    return mw_trade_wet_film(in[0], in[1], in[2], out);
}

static mw_trade_status dry(const double *in, double *out)
{
    return mw_trade_dry_film(in[0], in[1], in[2], out);
}

static mw_trade_status volume(const double *in, double *out)
{
    return mw_trade_issued_volume(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status mass(const double *in, double *out)
{
    const mw_trade_status status = mw_trade_issued_volume(in[0], in[1], in[2], in[3], out);
    *out *= in[4];
    return status;
}

static mw_trade_status film_mass(const double *in, double *out)
{
    return mw_trade_film_mass(in[0], in[1], in[2], out);
}

static mw_trade_status passes(const double *in, double *out)
{
    return mw_trade_passes(in[0], in[1], out);
}

static mw_trade_status putty(const double *in, double *out)
{
    return mw_trade_sprayed_putty(&(mw_plug_layers){in[0], in[1], in[2]}, out);
}

static const trade_row rows[] = {
    {"COA-02", rate, {1e-6, 1}, 1000 * 1e3, 1e-6, 0, CONFIRMED, "open coating notes: 1000 m2/L"},
    {"COA-03", rate, {100e-6, 1}, 10 * 1e3, 1e-6, 0, DERIVED, "definition"},
    {"COA-04",
     rate_by_1604,
     {5 * MIL, 0.65},
     208.52 * FT2_GAL,
     0.01 * FT2_GAL,
     0,
     CONFIRMED,
     SPREADING},
    {"COA-05", rate, {125e-6, 0.65}, 5.2 * 1e3, 0.005 * 1e3, 0, CONFIRMED, SPREADING},
    {"COA-06", rate, {10 * MIL, 1}, 160.417 * FT2_GAL, 0.001 * FT2_GAL, 0, CONFIRMED, WET_FILM},
    {"COA-07",
     rate,
     {2 * MIL, 0.35},
     281 * FT2_GAL,
     0.5 * FT2_GAL,
     0,
     CONFIRMED,
     "open table, 1604 x solids / film"},
    {"COA-11",
     wet,
     {2.8 * MIL, 0.35, 0.1},
     8.8 * MIL,
     0.001 * MIL,
     0,
     DERIVED,
     "formula confirmed in an open note; arithmetic"},
    {"COA-12", wet, {100e-6, 0.5, 0}, 200e-6, 1e-15, 0, DERIVED, "dry film = wet film x solids"},
    {"COA-14",
     mass,
     {5, 500e-6, 1, 0.65, 1300},
     5,
     1e-9,
     0,
     DERIVED,
     "South Coast AQMD, definition of transfer efficiency; arithmetic"},
    {"COA-15", volume, {5, 500e-6, 1, 0.65}, 3.84615e-3, 1e-7, 0, DERIVED, "as before"},
    {"dry film back", dry, {8.8 * MIL, 0.35, 0.1}, 2.8 * MIL, 0, 1e-12, DERIVED, "inverse"},
    {"coat of a mould",
     film_mass,
     {6.0733, 0.45e-3, 1400},
     3.826179,
     0,
     1e-9,
     DERIVED,
     "6.0733 m2 x 0.45 mm x 1400 kg/m3 by hand"},
    {"three passes", passes, {2.5e-3, 1e-3}, 3, 0, 1e-12, DERIVED, "arithmetic"},
    {"just three", passes, {0.3, 0.1}, 3, 0, 1e-12, DERIVED, "arithmetic"},
    {"no pass", passes, {0, 1e-3}, 0, 0, 0, DERIVED, "arithmetic"},
    {"putty of a plug",
     putty,
     {4e-3, 0.7e-3, 1e-3},
     4.3e-3,
     0,
     1e-12,
     DERIVED,
     "layers from the foam outwards"},
};

static const trade_refusal refusals[] = {
    {"no solids", wet, {1e-4, 0, 0}, MW_TRADE_NO_SENSE},
    {"solids above all", dry, {1e-4, 1.01, 0}, MW_TRADE_NO_SENSE},
    {"more thinner than paint", wet, {1e-4, 0.5, 1.5}, MW_TRADE_OUT_OF_RANGE},
    {"no film to spread", rate, {0, 1}, MW_TRADE_NO_SENSE},
    {"nothing lands", volume, {5, 5e-4, 1, 0}, MW_TRADE_NO_SENSE},
    {"negative area", volume, {-5, 5e-4, 1, 1}, MW_TRADE_NO_SENSE},
    {"no density", film_mass, {5, 5e-4, 0}, MW_TRADE_NO_SENSE},
    {"a pass of nothing", passes, {1e-3, 0}, MW_TRADE_NO_SENSE},
    {"skin above the surface", putty, {0.5e-3, 0.7e-3, 1e-3}, MW_TRADE_OUT_OF_RANGE},
    {"negative cut", putty, {4e-3, 0.7e-3, -1e-3}, MW_TRADE_NO_SENSE},
};

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "check", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    return test_run(&tests, "trade_coat");
}
