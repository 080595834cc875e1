/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Consumables of a bag and of a session, and the vacuum in the bag. */
#include "mouldwright/trade_consumable.h"

#include "inputs.h"
#include "rounding.h"

#define STANDARD_ATMOSPHERE_PA 101325.0
#define TROPOSPHERE_M          11000.0

mw_trade_status mw_trade_pleats(double edge_m, double spacing_m, double *pleats)
{
    if (!is_zero_or_more(edge_m) || !is_above_zero(spacing_m)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(whole_above(edge_m / spacing_m), pleats);
}

mw_trade_status mw_trade_bag_film(const mw_bag *bag, double *film_m2)
{
    if (!is_zero_or_more(bag->area_m2) || !is_zero_or_more(bag->edge_m) ||
        !is_zero_or_more(bag->margin_m) || !is_zero_or_more(bag->slack)) {
        return MW_TRADE_NO_SENSE;
    }
    if (bag->slack > 1.0) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(bag->area_m2 * (1.0 + bag->slack) + bag->edge_m * bag->margin_m, film_m2);
}

mw_trade_status mw_trade_sealant_tape(double edge_m, double pleats, double pleat_height_m,
                                      double spare, double *tape_m)
{
    if (!is_zero_or_more(edge_m) || !is_zero_or_more(pleats) || !is_zero_or_more(pleat_height_m) ||
        !is_zero_or_more(spare)) {
        return MW_TRADE_NO_SENSE;
    }
    if (spare > 1.0) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put((edge_m + 2.0 * pleat_height_m * pleats) * (1.0 + spare), tape_m);
}

mw_trade_status mw_trade_worn_out(double sessions, double people, double session_s, double life_s,
                                  double *pieces)
{
    if (!is_zero_or_more(sessions) || !is_zero_or_more(people) || !is_zero_or_more(session_s) ||
        !is_above_zero(life_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(sessions * people * whole_above(session_s / life_s), pieces);
}

mw_trade_status mw_trade_air_pressure(double height_m, double *pressure_pa)
{
    if (!is_zero_or_more(fabs(height_m))) {
        return MW_TRADE_NO_SENSE;
    }
    if (height_m < 0.0 || height_m > TROPOSPHERE_M) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(STANDARD_ATMOSPHERE_PA * pow(1.0 - 2.25577e-5 * height_m, 5.25588),
                     pressure_pa);
}

mw_trade_status mw_trade_bag_force(double area_m2, double difference_pa, double *force_n)
{
    if (!is_zero_or_more(area_m2) || !is_zero_or_more(difference_pa)) {
        return MW_TRADE_NO_SENSE;
    }
    if (difference_pa > STANDARD_ATMOSPHERE_PA) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(area_m2 * difference_pa, force_n);
}

mw_trade_status mw_trade_leak_rate(double volume_m3, double rise_pa, double time_s,
                                   double *rate_pam3s)
{
    if (!is_above_zero(volume_m3) || !is_zero_or_more(rise_pa) || !is_above_zero(time_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(volume_m3 * rise_pa / time_s, rate_pam3s);
}
