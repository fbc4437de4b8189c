from django import template

register = template.Library()


@register.simple_tag(takes_context=True)
def guess_draw(context, arm_span_m):
    """Arm span / 2.5 as a first guess at the draw (common practice, no source)."""
    return context["units"].show(arm_span_m / 2.5, "draw")
