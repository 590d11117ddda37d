"""How forms look: one template a field, the message at the field."""

from django.forms.renderers import TemplatesSetting


class ShopRenderer(TemplatesSetting):
    form_template_name = "ui/form.html"
    field_template_name = "ui/field.html"
