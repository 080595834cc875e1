/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Consumables and vacuum, blocks and handling. */
#include "trade_rows.h"

#include "mouldwright/trade_block.h"
#include "mouldwright/trade_consumable.h"

#define ATMOSPHERE "U.S. Standard Atmosphere, 1976, troposphere; formula confirmed in an open copy"
#define TABLE_SI   "open table of the standard atmosphere in SI"
#define HAND       "counted by hand"
#define PSI        6894.757293168361

static mw_trade_status air(const double *in, double *out)
{
    return mw_trade_air_pressure(in[0], out);
}

static mw_trade_status force(const double *in, double *out)
{
    return mw_trade_bag_force(in[0], in[1], out);
}

/* Largest difference at a height with some pressure left in the bag. */
static mw_trade_status difference(const double *in, double *out)
{
    const mw_trade_status status = mw_trade_air_pressure(in[0], out);
    *out -= in[1];
    return status;
}

static mw_trade_status leak(const double *in, double *out)
{
    return mw_trade_leak_rate(in[0], in[1], in[2], out);
}

static mw_trade_status pleats(const double *in, double *out)
{
    return mw_trade_pleats(in[0], in[1], out);
}

static mw_trade_status film(const double *in, double *out)
{
    return mw_trade_bag_film(&(mw_bag){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status tape(const double *in, double *out)
{
    return mw_trade_sealant_tape(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status worn(const double *in, double *out)
{
    return mw_trade_worn_out(in[0], in[1], in[2], in[3], out);
}

static mw_trade_status layers(const double *in, double *out)
{
    return mw_trade_board_layers(in[0], in[1], out);
}

static mw_trade_status boards(const double *in, double *out)
{
    return mw_trade_boards_in_layer(&(mw_board_plan){in[0], in[1], in[2], in[3]}, out);
}

static mw_trade_status glue(const double *in, double *out)
{
    return mw_trade_glue_area(&(mw_board_plan){in[0], in[1], in[2], in[3]}, in[4], in[5], out);
}

static mw_trade_status parts(const double *in, double *out)
{
    return mw_trade_parts_for(in[0], in[1], out);
}

static mw_trade_status people(const double *in, double *out)
{
    return mw_trade_people_to_lift(in[0], in[1], out);
}

static const trade_row rows[] = {
    {"VAC-01", air, {0}, 101325, 0.5, 0, CONFIRMED, "U.S. Standard Atmosphere, 1976"},
    {"VAC-02", air, {500}, 95460.6, 0, 2e-4, DERIVED, ATMOSPHERE},
    {"VAC-03", air, {1000}, 89874.1, 0, 2e-4, DERIVED, ATMOSPHERE},
    {"VAC-04", air, {1500}, 84555.4, 0, 2e-4, DERIVED, ATMOSPHERE},
    {"VAC-05", air, {2000}, 79494.4, 0, 2e-4, DERIVED, ATMOSPHERE},
    {"VAC-06", air, {3000}, 70107.5, 0, 2e-4, DERIVED, ATMOSPHERE},
    {"VAC-07", air, {1524}, 84322.9, 0, 0.001, CONFIRMED, TABLE_SI},
    {"VAC-08", air, {3048}, 69692.2, 0, 0.001, CONFIRMED, TABLE_SI},
    {"VAC-09",
     air,
     {5000 * 0.3048},
     12.228 * PSI,
     0,
     0.001,
     CONFIRMED,
     "open table of the U.S. Standard Atmosphere"},
    {"VAC-10", force, {1, 90000}, 90000, 1e-6, 0, DERIVED, "pressure x area"},
    {"VAC-11",
     force,
     {1, 90000},
     9177.4 * 9.80665,
     0.1 * 9.80665,
     0,
     DERIVED,
     "standard gravity 9.80665 m/s2"},
    {"VAC-13",
     difference,
     {1500, 5000},
     79555,
     20,
     0,
     DERIVED,
     "standard atmosphere less what is left"},
    {"VAC-17", leak, {0.05, 500, 600}, 0.41667 * 0.1, 1e-4 * 0.1, 0, DERIVED, "definition"},
    {"pleats", pleats, {8, 0.4}, 20, 0, 1e-12, DERIVED, HAND},
    {"film", film, {5, 9, 0.2, 0.3}, 8.3, 0, 1e-12, DERIVED, HAND},
    {"tape", tape, {9, 20, 0.05, 0.1}, 12.1, 0, 1e-12, DERIVED, HAND},
    {"gloves", worn, {2, 3, 18000, 7200}, 18, 0, 1e-12, DERIVED, HAND},
    {"gloves for no work", worn, {2, 3, 0, 7200}, 0, 0, 0, DERIVED, HAND},
    {"layers", layers, {0.43, 0.1}, 5, 0, 1e-12, DERIVED, HAND},
    {"just three layers", layers, {0.3, 0.1}, 3, 0, 1e-12, DERIVED, HAND},
    {"boards along", boards, {2.8, 1.4, 1.5, 0.5}, 6, 0, 1e-12, DERIVED, HAND},
    {"boards across take fewer", boards, {0.9, 1.4, 1.5, 0.5}, 2, 0, 1e-12, DERIVED, HAND},
    {"glue",
     glue,
     {2.8, 1.4, 1.5, 0.5, 0.1, 3},
     9.94,
     0,
     1e-12,
     DERIVED,
     "by hand: 2 x 2.8 x 1.4 + 3 x 0.1 x (1.4 + 2 x 2.8)"},
    {"glue of one board", glue, {1.2, 0.4, 1.5, 0.5, 0.1, 1}, 0, 0, 0, DERIVED, HAND},
    {"parts", parts, {5.1, 3.2}, 2, 0, 1e-12, DERIVED, HAND},
    {"people", people, {70, 20}, 4, 0, 1e-12, DERIVED, HAND},
    {"nothing to lift", people, {0, 20}, 0, 0, 0, DERIVED, HAND},
};

static const trade_refusal refusals[] = {
    {"below the sea", air, {-1}, MW_TRADE_OUT_OF_RANGE},
    {"above the weather", air, {11001}, MW_TRADE_OUT_OF_RANGE},
    {"nowhere", air, {(double)NAN}, MW_TRADE_NO_SENSE},
    {"more than a vacuum", force, {1, 101326}, MW_TRADE_OUT_OF_RANGE},
    {"negative area", force, {-1, 9e4}, MW_TRADE_NO_SENSE},
    {"no time", leak, {0.05, 500, 0}, MW_TRADE_NO_SENSE},
    {"pleats side by side", pleats, {8, 0}, MW_TRADE_NO_SENSE},
    {"slack above all", film, {5, 9, 0.2, 1.1}, MW_TRADE_OUT_OF_RANGE},
    {"negative margin", film, {5, 9, -0.2, 0.3}, MW_TRADE_NO_SENSE},
    {"negative pleats", tape, {9, -1, 0.05, 0.1}, MW_TRADE_NO_SENSE},
    {"spare above all", tape, {9, 1, 0.05, 1.1}, MW_TRADE_OUT_OF_RANGE},
    {"gloves of a moment", worn, {2, 3, 18000, 0}, MW_TRADE_NO_SENSE},
    {"boards of nothing", layers, {0.4, 0}, MW_TRADE_NO_SENSE},
    {"no block", boards, {0, 1, 1.5, 0.5}, MW_TRADE_NO_SENSE},
    {"glue of no layers below none", glue, {1, 1, 1.5, 0.5, 0.1, -1}, MW_TRADE_NO_SENSE},
    {"no travel", parts, {5, 0}, MW_TRADE_NO_SENSE},
    {"too much each", people, {70, 26}, MW_TRADE_OUT_OF_RANGE},
    {"gear", people, {201, 25}, MW_TRADE_OUT_OF_RANGE},
    {"weightless", people, {-1, 25}, MW_TRADE_NO_SENSE},
};

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "check", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    return test_run(&tests, "trade_consumable");
}
