/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading what a shop's offers rest on: the day of the rates of exchange, the price of energy, when payments are due. */
#include <math.h>

#include "recipe/raw.h"
#include "recipe/shop_parts.h"

/* --- energy ----------------------------------------------------------------------------------- */

static void read_energy(mw_load *load, const mw_raw_shop *raw)
{
    mw_measure *measure = load->calculator->measure;
    mw_type energy = MW_NONE;
    mw_type type = MW_NONE;
    mw_unit unit;
    mw_constant price;
    if (raw->energy.source == MW_NONE || raw->money == MW_NONE) {
        return;
    }
    if (mw_unit_of_words(measure, mw_str_of("kWh"), &energy, &unit) != MW_OK ||
        mw_type_divide(measure, raw->money, energy, &type) != MW_TYPE_FINE) {
        load->no_memory = true;
    } else if (mw_load_figure(load, raw->energy, type, &price) && price.low < 0) {
        mw_load_range(load, raw->energy, "a price is not below 0");
    }
}

/* --- payments --------------------------------------------------------------------------------- */

typedef struct raw_payment {
    mw_payment row;
    mw_span share;
    mw_span after;
} raw_payment;

static const mw_field payment_fields[] = {
    MW_NEEDED("share", MW_FIELD_FORMULA, raw_payment, share),
    MW_NEEDED_ALSO("at", MW_FIELD_TEXT, raw_payment, row.at, row.at_at),
    MW_FIELD("after", MW_FIELD_FORMULA, raw_payment, after),
    MW_FIELD("what", MW_FIELD_TEXT, raw_payment, row.what),
};
static const mw_keys payment_keys = MW_KEYS("a payment", payment_fields);

static void read_payment(mw_load *load, const mw_yaml_node *node, mw_payment *payment)
{
    raw_payment raw = {
        .row = {.at_at = mw_nowhere()}, .share = mw_nowhere(), .after = mw_nowhere()};
    mw_constant share = {0};
    mw_constant after = {0};
    mw_load_fields(load, &payment_keys, node, &raw);
    if (mw_load_figure(load, raw.share, MW_TYPE_NUMBER, &share) &&
        !(share.low > 0 && share.high <= 1)) {
        mw_load_range(load, raw.share, "a share of the price is more than 0 %, up to 100 %");
    }
    if (raw.after.source != MW_NONE && mw_load_figure(load, raw.after, MW_TYPE_TIME, &after) &&
        after.low < 0) {
        mw_load_range(load, raw.after, "a payment is due at its date or after it");
    }
    *payment = raw.row;
    payment->share = share.value;
    payment->after_s = after.value;
}

static void read_payments(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    const double slack = 1e-9;
    mw_payment *rows = mw_load_room(load, list->count, sizeof *rows);
    double sum = 0;
    if (rows == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        read_payment(load, node, &rows[shop->payment_count]);
        sum += rows[shop->payment_count++].share;
    }
    shop->payments = rows;
    if (fabs(sum - 1) > slack && list->count > 0 && mw_load_status(load) == MW_OK) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, mw_node_place(list),
                                       "the payments come to %.6g %% of the price", sum * 100);
        mw_diag_try(load->diags, diag, "make their shares sum to 100 %%");
    }
}

void mw_shop_offer_read(mw_load *load, const mw_raw_shop *raw, mw_shop *shop)
{
    shop->energy_at = raw->energy;
    shop->letterhead = raw->letterhead;
    shop->picture = raw->picture;
    shop->picture_at = raw->picture_at;
    shop->included = raw->included;
    shop->excluded = raw->excluded;
    shop->terms = raw->terms;
    shop->exchange_day_s = (double)NAN;
    read_energy(load, raw);
    if (raw->exchange_date != NULL) {
        mw_moment_read(load, raw->exchange_date, &shop->exchange_day_s);
    }
    if (raw->payments != NULL) {
        read_payments(load, raw->payments, shop);
    }
}
