/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units that the trade's publications are written in: a conversion by the unit table against what a
 * publication gives, to the tolerance that goes with it. */
#include <string.h>

#include "trade_rows.h"

#include "mouldwright/unit.h"

typedef struct unit_row {
    const char *name;
    double value;
    const char *from;
    double want;
    const char *to;
    double absolute; /* tolerance; or */
    double relative;
    trade_surety surety;
    const char *source;
} unit_row;

/* Read in a transcription: the package NISTunits 1.0.1 for R. */
#define SP811 "NIST SP 811 (2008), appendix B.8"
#define EXACT "exact definitions"
#define INHG  "NIST SP 811 (2008), appendix B.8, conventional inch of mercury"

static const unit_row rows[] = {
    {"UNI-01", 1, "oz/yd2", 33.90575, "g/m2", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-02", 1, "oz/ft2", 305.1517, "g/m2", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-03", 1, "mil", 25.4, "um", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-04", 1, "lb/in3", 27679.9, "kg/m3", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-05", 1, "lb/ft3", 16.01846, "kg/m3", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-06", 1, "psi", 6894.757, "Pa", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-07", 1, "inHg", 3386.389, "Pa", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-08", 1, "mmHg", 133.3224, "Pa", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-09", 1, "gal", 3.785412, "L", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-10", 1, "oz", 28.34952, "g", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-11", 1, "yd2", 0.8361274, "m2", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-12", 1, "ft2", 0.09290304, "m2", 0, 1e-6, SECOND_HAND, SP811},
    {"UNI-13", 6, "oz/yd2", 203.434, "g/m2", 0.001, 0, DERIVED, EXACT},
    {"UNI-14", 10, "oz/yd2", 339.057, "g/m2", 0.001, 0, DERIVED, EXACT},
    {"UNI-15", 5.7, "oz/yd2", 193.263, "g/m2", 0.001, 0, DERIVED, EXACT},
    {"UNI-16", 1.5, "oz/ft2", 457.728, "g/m2", 0.001, 0, DERIVED, EXACT ": mat goes by the foot"},
    {"UNI-17", 200, "g/m2", 5.8987, "oz/yd2", 0.0001, 0, DERIVED, EXACT},
    {"VAC-12", 27, "inHg", 91.4325, "kPa", 0.001, 0, DERIVED, INHG},
    {"VAC-15", 1, "inHg", 33.86, "mbar", 0.01, 0, DERIVED, INHG},
    {"VAC-16", 29.20 - 29.11, "inHg", 0.09, "inHg", 1e-6, 0, CONFIRMED,
     "guidance of the trade on leaks of a bag: from 29.20 to 29.11 inHg in 5 min"},
    {"CTE-06", 57e-6, "1/degF", 0.0001026, "1/K", 0, 1e-9, DERIVED,
     "NASA TM-83320 (Chamis 1983), table 2: matrix; exactly 9/5"},
};

static mw_unit unit_of(mw_measure *measure, const char *text)
{
    size_t used = 0;
    mw_unit unit = MW_UNIT_ONE;
    assert_int_equal(mw_unit_read(measure, mw_str_of(text), &used, &unit), MW_OK);
    assert_int_equal(used, strlen(text));
    return unit;
}

static void check_unit(void **state)
{
    const unit_row *row = *state;
    mw_measure *measure = mw_measure_new();
    const double si = mw_unit_to_si(measure, unit_of(measure, row->from), row->value);
    const double got = mw_unit_from_si(measure, unit_of(measure, row->to), si);
    if (row->relative > 0.0) {
        assert_near(got, row->want, row->relative);
    } else {
        assert_close(got, row->want, row->absolute);
    }
    mw_measure_free(measure);
}

int main(void)
{
    return run_rows("trade_units", rows, check_unit);
}
