"""Photographs beside the gauge: a hole measured in one and accepted, and a picture that waits to be rejected."""

from datetime import datetime
from decimal import Decimal

from seed_demo.cast import PETRA
from seed_demo.foundation import Foundation
from seed_demo.past_stories import RETURNING_SERIAL
from service.actions.hole_images import decide_hole_evaluation, measure_hole
from service.actions.photographs import add_photograph
from service.metrology.hole_image.given_scale import PitchScale

SUBJECT = "nozzle-holes"
_INVENTED = "Drawn for the demonstration, no real nozzle"


def holes_photographed(on: Foundation) -> None:
    """Two spray holes of the serial that is here for the third time."""
    # Arrays load on first use: whoever reads the other stories does not wait for them.
    from seed_demo.drawn_photographs import UM_PER_PIXEL, sound_hole, spoiled_hole

    shop, petra = on.shop, on.actor(PETRA)
    ((number, newest),) = shop.store.rows(
        "SELECT o.number, max(e.at) FROM overhaul o JOIN unit u ON u.id = o.unit_id "
        "JOIN entry e ON e.overhaul_id = o.id WHERE u.serial = ? AND o.closed_at IS NULL GROUP BY o.number",
        (RETURNING_SERIAL,),
    )
    on.clock.after(datetime.fromisoformat(newest))
    scale = PitchScale(um_per_pixel=Decimal(UM_PER_PIXEL), expanded_uncertainty=Decimal("0.01"))
    accepted = add_photograph(
        shop,
        petra,
        number,
        form_key="demo-photo-1",
        subject=SUBJECT,
        content=sound_hole(),
        remark=f"{_INVENTED}. Hole 1.",
    )
    found = measure_hole(shop, petra, number, accepted, hole=1, scale=scale)
    decide_hole_evaluation(
        shop, petra, number, accepted, form_key="demo-hole-1", hole=1, scale=scale, digest=found.digest, accepted=True
    )
    on.clock.wait(4)
    remark = f"{_INVENTED}. Hole 3, oil on its rim: measure it and reject it. The bar is 500 µm long."
    add_photograph(shop, petra, number, form_key="demo-photo-2", subject=SUBJECT, content=spoiled_hole(), remark=remark)
