"""What the diary says about a job, apart from its days: where it is, who is on it, what is
delivered.
"""

from quotegen.diary.records import Site
from quotegen.model.enquiry import Enquiry
from quotegen.model.takeoff import OptionTakeOff
from quotegen.reference import house_rules


def site_of(enquiry: Enquiry, option: OptionTakeOff) -> Site:
    """The site of a job as ordered for one build-up."""
    items = house_rules.items()
    packs = [
        (one.supplier, items[count.pack.item])
        for one in option.order.suppliers
        for count in one.packs
    ]
    hired = dict.fromkeys(item.words for _, item in packs if item.hired)
    suppliers = dict.fromkeys(supplier for supplier, item in packs if not item.hired)
    return Site(
        customer=enquiry.customer,
        address=enquiry.site_address,
        occupier=enquiry.occupier,
        build_up=option.build_up,
        people=option.programme.crew.number,
        hires=tuple(hired),
        suppliers=tuple(suppliers),
    )
