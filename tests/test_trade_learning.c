/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning over repeats against textbook tables and a published package. */
#include "mouldwright/trade_learning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "trade_rows.h"

#define JACOBS(exhibit) \
    "Jacobs and Chase, Operations and Supply Chain Management, chapter 4A, exhibit " exhibit
#define PACKAGE "Boehmke and Freels, R package learningCurve 1.1.2, 2018, its tests"

/* An exhibit gives unit, cumulative and cumulative average. */
#define EXHIBIT(id, first, rate, number, unit, total, each, within, where)                        \
    {id " unit", piece, {first, rate, number}, unit, within, 0, CONFIRMED, JACOBS(where)},        \
        {id " total", lot, {first, rate, 1, number}, total, within, 0, CONFIRMED, JACOBS(where)}, \
    {                                                                                             \
        id " mean", mean, {first, rate, number}, each, within, 0, CONFIRMED, JACOBS(where)        \
    }

/* first, rate, number */
static mw_trade_status piece(const double *in, double *out)
{
    return mw_trade_unit_piece(in[0], in[1], in[2], out);
}

/* first, rate, from, to */
static mw_trade_status lot(const double *in, double *out)
{
    return mw_trade_unit_lot(in[0], in[1], in[2], in[3], out);
}

/* first, rate, number: mean of the first so many */
static mw_trade_status mean(const double *in, double *out)
{
    return mw_trade_unit_lot(in[0] / in[2], in[1], 1, in[2], out);
}

static mw_trade_status lot_integral(const double *in, double *out)
{
    return mw_trade_unit_lot_by_integral(in[0], in[1], in[2], in[3], out);
}

/* known, rate, its number, number: unit form */
static mw_trade_status piece_from(const double *in, double *out)
{
    double first = (double)NAN;
    const mw_trade_status status = mw_trade_unit_first(in[0], in[1], in[2], &first);
    return status != MW_TRADE_OK ? status : mw_trade_unit_piece(first, in[1], in[3], out);
}

static mw_trade_status average_lot(const double *in, double *out)
{
    return mw_trade_average_lot(in[0], in[1], in[2], in[3], out);
}

/* known, rate, its number, number: average form */
static mw_trade_status average_from(const double *in, double *out)
{
    double first = (double)NAN;
    const mw_trade_status status = mw_trade_average_first(in[0], in[1], in[2], &first);
    return status != MW_TRADE_OK ? status : mw_trade_average_lot(first, in[1], in[3], in[3], out);
}

/* first, rate, number: unit less average form */
static mw_trade_status difference(const double *in, double *out)
{
    double unit = (double)NAN;
    double average = (double)NAN;
    assert_int_equal(mw_trade_unit_piece(in[0], in[1], in[2], &unit), MW_TRADE_OK);
    assert_int_equal(mw_trade_average_lot(in[0], in[1], in[2], in[2], &average), MW_TRADE_OK);
    *out = unit - average;
    return MW_TRADE_OK;
}

/* rate, from, to */
static mw_trade_status midpoint(const double *in, double *out)
{
    return mw_trade_unit_midpoint(in[0], in[1], in[2], out);
}

static mw_trade_status midpoint_integral(const double *in, double *out)
{
    return mw_trade_unit_midpoint_by_integral(in[0], in[1], in[2], out);
}

static mw_trade_status slope(const double *in, double *out)
{
    return mw_trade_learning_slope(in[0], out);
}

/* taken, true, number */
static mw_trade_status wrong_rate(const double *in, double *out)
{
    return mw_trade_learning_error(in[0], in[1], in[2], out);
}

/* clang-format off */
static const trade_row rows[] = {
    EXHIBIT("C1.1", 100000, 0.8, 2, 80000, 180000, 90000, 0.5, "4A.2"),
    EXHIBIT("C1.2", 100000, 0.8, 4, 64000, 314210, 78553, 0.5, "4A.2"),
    EXHIBIT("C1.6", 100000, 0.8, 64, 26214, 2392447, 37382, 0.5, "4A.2"),
    EXHIBIT("C1.7", 100000, 0.8, 128, 20972, 3874384, 30269, 0.5, "4A.2"),
    EXHIBIT("C2.1", 10, 0.8, 3, 7.0210, 25.0210, 8.3403, 5e-5, "4A.3B"),
    EXHIBIT("C2.2", 10, 0.8, 5, 5.9564, 37.3774, 7.4755, 5e-5, "4A.3B"),
    EXHIBIT("C2.3", 10, 0.8, 7, 5.3449, 48.3391, 6.9056, 5e-5, "4A.3B"),
    EXHIBIT("C2.4", 10, 0.8, 10, 4.7651, 63.1537, 6.3154, 5e-5, "4A.3B"),
    EXHIBIT("C2.5", 10, 0.8, 20, 3.8121, 104.8494, 5.2425, 5e-5, "4A.3B"),
    EXHIBIT("C2.6", 10, 0.8, 50, 2.8383, 201.2171, 4.0243, 5e-5, "4A.3B"),
    EXHIBIT("C2.7", 10, 0.8, 100, 2.2706, 326.5081, 3.2651, 5e-5, "4A.3B"),
    EXHIBIT("C2.8", 10, 0.8, 1000, 1.0820, 1586.7092, 1.5867, 5e-5, "4A.3B"),
    {"C3.60", piece, {1, 0.60, 3}, 0.4450, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.70", piece, {1, 0.70, 3}, 0.5682, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.75", piece, {1, 0.75, 3}, 0.6338, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.80", piece, {1, 0.80, 3}, 0.7021, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.85", piece, {1, 0.85, 3}, 0.7729, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.90", piece, {1, 0.90, 3}, 0.8462, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C3.95", piece, {1, 0.95, 3}, 0.9219, 5e-5, 0, CONFIRMED, JACOBS("4A.4")},
    {"C4.1", piece, {100, 0.85, 125}, 32.23646873, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.2", piece_from, {100, 0.85, 100, 125}, 94.903, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.3", lot, {100, 0.85, 1, 125}, 5201.085148547, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.4", lot_integral, {100, 0.85, 1, 125}, 5202.988332738, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.5", average_lot, {110, 0.885, 2200, 2200}, 23.340010074, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.6", average_from, {225, 0.75, 5, 350}, 36.909414333, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.7", average_lot, {75, 0.85, 201, 250}, 806.772031397, 5e-3, 0, CONFIRMED, PACKAGE},
    {"C4.8", average_lot, {125, 0.75, 55, 165}, 1188.609538481, 5e-3, 0, CONFIRMED, PACKAGE},
    {"C4.9 piece 1", difference, {50, 0.885, 1}, 0, 5e-7, 0, CONFIRMED, PACKAGE},
    {"C4.9 piece 2", difference, {50, 0.885, 2}, 5.750000, 5e-7, 0, CONFIRMED, PACKAGE},
    {"C4.9 piece 3", difference, {50, 0.885, 3}, 6.103821, 5e-7, 0, CONFIRMED, PACKAGE},
    {"C4.9 piece 4", difference, {50, 0.885, 4}, 6.110519, 5e-7, 0, CONFIRMED, PACKAGE},
    {"C4.9 piece 5", difference, {50, 0.885, 5}, 6.041146, 5e-7, 0, CONFIRMED, PACKAGE},
    {"C4.10", midpoint_integral, {0.75, 201, 500}, 334.6102579, 5e-4, 0, CONFIRMED, PACKAGE},
    {"C4.11", midpoint, {0.75, 201, 500}, 334.6104660, 1e-6, 0, DERIVED, "(mean k^b)^(1/b)"},
    {"C4.12 80 %", slope, {0.80}, -0.32193, 1e-5, 0, CONFIRMED, PACKAGE},
    {"C4.12 85 %", slope, {0.85}, -0.23447, 1e-5, 0, CONFIRMED, PACKAGE},
    {"C4.12 90 %", slope, {0.90}, -0.15200, 1e-5, 0, CONFIRMED, PACKAGE},
    {"C4.13", wrong_rate, {0.85, 0.87, 250}, 0.203530291, 5e-4, 0, CONFIRMED, PACKAGE},
};
/* clang-format on */

static const trade_refusal refusals[] = {
    {"rate of a half", piece, {1, 0.5, 3}, MW_TRADE_OUT_OF_RANGE},
    {"forgetting", lot, {1, 1.01, 1, 3}, MW_TRADE_OUT_OF_RANGE},
    {"negative rate", slope, {-0.8}, MW_TRADE_NO_SENSE},
    {"piece 0", piece, {1, 0.8, 0}, MW_TRADE_NO_SENSE},
    {"lot backwards", lot, {1, 0.8, 5, 4}, MW_TRADE_NO_SENSE},
    {"half a piece", lot_integral, {1, 0.8, 1, 4.5}, MW_TRADE_NO_SENSE},
    {"too many", average_lot, {1, 0.8, 1, 2e9}, MW_TRADE_OUT_OF_RANGE},
    {"negative labour", average_lot, {-1, 0.8, 1, 2}, MW_TRADE_NO_SENSE},
    {"negative known", average_from, {-1, 0.8, 2, 3}, MW_TRADE_NO_SENSE},
    {"unknown number", piece_from, {1, 0.8, (double)NAN, 3}, MW_TRADE_NO_SENSE},
    {"no lot", midpoint, {0.8, 0, 3}, MW_TRADE_NO_SENSE},
    {"no lot either", midpoint_integral, {0.8, 4, 3}, MW_TRADE_NO_SENSE},
    {"wrong rate out of range", wrong_rate, {0.85, 1.2, 10}, MW_TRADE_OUT_OF_RANGE},
};

/* Lots sum up: what a lot takes is what its pieces take, and what its two parts take. */
static void lots_sum_up(void **state)
{
    (void)state;
    for (double rate = 0.55; rate <= 1; rate += 0.09) {
        double pieces = 0;
        for (int to = 1; to <= 3000; to++) {
            double piece = (double)NAN;
            double lot = (double)NAN;
            assert_int_equal(mw_trade_unit_piece(7, rate, to, &piece), MW_TRADE_OK);
            pieces += piece;
            assert_int_equal(mw_trade_unit_lot(7, rate, 1, to, &lot), MW_TRADE_OK);
            assert_near(lot, pieces, 1e-12);
        }
        double whole = (double)NAN;
        double low = (double)NAN;
        double high = (double)NAN;
        assert_int_equal(mw_trade_average_lot(7, rate, 1, 900, &whole), MW_TRADE_OK);
        assert_int_equal(mw_trade_average_lot(7, rate, 1, 333, &low), MW_TRADE_OK);
        assert_int_equal(mw_trade_average_lot(7, rate, 334, 900, &high), MW_TRADE_OK);
        assert_near(low + high, whole, 1e-12);
        assert_int_equal(mw_trade_average_mean(7, rate, 900, &low), MW_TRADE_OK);
        assert_near(low * 900, whole, 1e-12);
    }
}

/* A lot takes its count times the labour of its midpoint, which lies inside; at rate 1 nothing is
 * learned. */
static void midpoints_stand_for_their_lots(void **state)
{
    (void)state;
    for (double rate = 0.6; rate < 1; rate += 0.07) {
        double at = (double)NAN;
        double piece = (double)NAN;
        double lot = (double)NAN;
        assert_int_equal(mw_trade_unit_midpoint(rate, 17, 90, &at), MW_TRADE_OK);
        assert_true(at > 17 && at < 90);
        assert_int_equal(mw_trade_unit_piece(3, rate, at, &piece), MW_TRADE_OK);
        assert_int_equal(mw_trade_unit_lot(3, rate, 17, 90, &lot), MW_TRADE_OK);
        assert_near(piece * 74, lot, 1e-12);
    }
    double out = (double)NAN;
    assert_int_equal(mw_trade_unit_midpoint(1, 3, 6, &out), MW_TRADE_OK);
    assert_true(out == 4.5);
    assert_int_equal(mw_trade_unit_lot(3, 1, 3, 6, &out), MW_TRADE_OK);
    assert_near(out, 12, 1e-15);
    assert_int_equal(mw_trade_average_lot(3, 1, 3, 6, &out), MW_TRADE_OK);
    assert_near(out, 12, 1e-15);
}

/* C5.1 (derived, anchored on the rows above): 100 pieces at four rates, both forms, from a file that
 * is not part of the project. */
static void table_of_a_hundred_pieces(void **state)
{
    (void)state;
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    char path[512];
    snprintf(path, sizeof path, "%s/data/learning/learning_curve_table.csv",
             folder ? folder : "../shared/checks");
    FILE *file = fopen(path, "r");
    if (!file) {
        skip();
    }
    char line[256];
    int count = 0;
    assert_non_null(fgets(line, sizeof line, file)); /* the header */
    while (fgets(line, sizeof line, file)) {
        double v[8];
        assert_int_equal(sscanf(line, "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf", &v[0], &v[1], &v[2], &v[3],
                                &v[4], &v[5], &v[6], &v[7]),
                         8);
        const double one[] = {1, v[0], v[1], v[1]};
        const double all[] = {1, v[0], 1, v[1]};
        double got[6] = {(double)NAN, (double)NAN, (double)NAN,
                         (double)NAN, (double)NAN, (double)NAN};
        assert_int_equal(piece(one, &got[0]), MW_TRADE_OK);
        assert_int_equal(lot(all, &got[1]), MW_TRADE_OK);
        got[2] = got[1] / v[1];
        assert_int_equal(mw_trade_average_mean(1, v[0], v[1], &got[3]), MW_TRADE_OK);
        assert_int_equal(average_lot(all, &got[4]), MW_TRADE_OK);
        assert_int_equal(average_lot(one, &got[5]), MW_TRADE_OK);
        for (int i = 0; i < 6; i++) { /* printed to twelve decimals */
            assert_close(got[i], v[i + 2], 5.1e-13 + 1e-14 * v[i + 2]);
        }
        count++;
    }
    fclose(file);
    assert_int_equal(count, 400);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "published", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, lots_sum_up);
    test_add(&tests, midpoints_stand_for_their_lots);
    test_add(&tests, table_of_a_hundred_pieces);
    return test_run(&tests, "trade_learning");
}
