/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the readers of a shop's parts share. */
#ifndef RECIPE_SHOP_PARTS_H
#define RECIPE_SHOP_PARTS_H

#include "recipe/files.h"

/* The top of a shop file. */
typedef struct mw_raw_shop {
    mw_str name;
    mw_span name_at;
    mw_str title;
    mw_str currency;
    mw_span currency_at;
    const mw_yaml_node *exchange, *units, *people, *machines, *promised, *lines;
    const mw_yaml_node *exchange_date, *payments;
    mw_span energy;
    mw_name_list letterhead, included, excluded, terms;
    mw_str picture;
    mw_span picture_at;
    mw_time_nodes times;
    mw_type money; /* of the shop's currency; MW_NONE: not known */
} mw_raw_shop;

/* Reads currency, exchange and units, and puts them into the measure context of the load. */
void mw_shop_money_read(mw_load *load, mw_raw_shop *raw, mw_tender *tender);

/* Reads what it asks for: the day of the rates, the price of energy, when payments are due. */
void mw_shop_offer_read(mw_load *load, const mw_raw_shop *raw, mw_shop *shop);

#endif
